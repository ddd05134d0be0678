#include "dsp/log/log_path.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>

#include "tests/dsp/log/temp_folder.h"

namespace skedlark::log {
namespace {

// What the environment was, at the end again.
class Set {
 public:
    Set(const char* name, const char* value) : name_(name) {
        if (const char* old = std::getenv(name)) old_ = old;
        had_ = std::getenv(name) != nullptr;
        value != nullptr ? ::setenv(name, value, 1) : ::unsetenv(name);
    }
    Set(const Set&) = delete;
    Set& operator=(const Set&) = delete;
    ~Set() { had_ ? ::setenv(name_, old_.c_str(), 1) : ::unsetenv(name_); }

 private:
    const char* name_;
    std::string old_{};
    bool had_ = false;
};

// XDG Base Directory Specification: XDG_DATA_HOME, else HOME/.local/share; a path not absolute is passed over.
TEST(LogPath, FollowsTheSpecification) {
    const Set home("HOME", "/home/ida");
    {
        const Set data("XDG_DATA_HOME", "/data");
        EXPECT_EQ(*default_log_path(), "/data/skedlark/log.db");
    }
    {
        const Set data("XDG_DATA_HOME", "data");
        EXPECT_EQ(*default_log_path(), "/home/ida/.local/share/skedlark/log.db");
    }
    const Set data("XDG_DATA_HOME", nullptr);
    const Set none("HOME", nullptr);
    EXPECT_FALSE(default_log_path().ok());
}

TEST(LogPath, FoldersOfTheDefaultAreMade) {
    const TempFolder folder;
    const Set data("XDG_DATA_HOME", folder.path("deep/data").c_str());
    EXPECT_EQ(*log_path_for_writing("/else/where.db"), "/else/where.db");
    const auto path = log_path_for_writing("");
    ASSERT_TRUE(path) << path.error().message;
    EXPECT_TRUE(std::filesystem::is_directory(folder.path("deep/data/skedlark")));
    const Set file("XDG_DATA_HOME", folder.put("file", "x").c_str());
    EXPECT_FALSE(log_path_for_writing("").ok());
    EXPECT_EQ(whole_path("")[0], '\0');
    EXPECT_EQ(whole_path("a.wav").front(), '/');
}

}  // namespace
}  // namespace skedlark::log
