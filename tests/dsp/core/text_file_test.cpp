// Contract of dsp/core/text_file.h.
#include "dsp/core/text_file.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>

namespace skedlark {
namespace {

class TextFile : public testing::Test {
 protected:
    void SetUp() override {
        char name[] = "/tmp/skedlark-test-XXXXXX";
        ASSERT_NE(::mkdtemp(name), nullptr);
        folder_ = name;
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }
    [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }
    [[nodiscard]] std::size_t files() const {
        return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder_),
                                                      std::filesystem::directory_iterator()));
    }
    std::string folder_;
};

TEST_F(TextFile, WhatIsWrittenIsRead) {
    const std::string text("one\0two\n", 8);
    ASSERT_TRUE(replace_file(path("a"), text).ok());
    ASSERT_TRUE(replace_file(path("a"), text + text).ok());
    EXPECT_EQ(*read_text_file(path("a"), 100), text + text);
    EXPECT_EQ(files(), 1U);  // nothing left beside it
}

TEST_F(TextFile, KeepsRightsAndLinks) {
    ASSERT_TRUE(replace_file(path("a"), "old").ok());
    ASSERT_EQ(::chmod(path("a").c_str(), 0640), 0);
    ASSERT_EQ(::symlink("a", path("link").c_str()), 0);
    ASSERT_TRUE(replace_file(path("link"), "new").ok());
    struct stat about = {};
    ASSERT_EQ(::lstat(path("link").c_str(), &about), 0);
    EXPECT_TRUE(S_ISLNK(about.st_mode));
    ASSERT_EQ(::stat(path("a").c_str(), &about), 0);
    EXPECT_EQ(about.st_mode & 0777U, 0640U);
    EXPECT_EQ(*read_text_file(path("a"), 100), "new");
}

TEST_F(TextFile, WhatCannotBeReadIsNamed) {
    EXPECT_EQ(read_text_file(path("a"), 9).error().code, ErrorCode::not_found);
    EXPECT_EQ(read_text_file(folder_, 9).error().code, ErrorCode::unreadable);
    ASSERT_TRUE(replace_file(path("a"), "0123456789").ok());
    EXPECT_EQ(read_text_file(path("a"), 9).error().code, ErrorCode::damaged);
    EXPECT_EQ(read_text_file(path("a"), 9).error().message.rfind(path("a"), 0), 0U);
}

TEST_F(TextFile, WhatCannotBeWrittenLeavesTheOldOne) {
    EXPECT_EQ(replace_file(path("missing/a"), "x").error().code, ErrorCode::write_failed);
    // A folder stands where the file should go: the rename fails after the new one was written.
    std::filesystem::create_directories(path("taken/inside"));
    const Status taken = replace_file(path("taken"), "x");
    ASSERT_FALSE(taken.ok());
    EXPECT_NE(taken.error().message.find("taken"), std::string::npos);
    EXPECT_TRUE(std::filesystem::is_directory(path("taken/inside")));
    EXPECT_EQ(files(), 1U);
}

}  // namespace
}  // namespace skedlark
