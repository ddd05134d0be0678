// The journal: read back from the files while it is still open, as after a crash.
#include "gui/copy/journal.h"

#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace skedlark::gui {
namespace {

std::string content(const std::string& path) {
    std::ostringstream all;
    all << std::ifstream(path).rdbuf();
    return all.str();
}

class JournalFolder : public ::testing::Test {
 protected:
    void SetUp() override {
        folder_ = std::filesystem::temp_directory_path() /
                  ("skedlark-journal-" + std::to_string(::getpid()));
        std::filesystem::remove_all(folder_);
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }
    std::filesystem::path folder_;
    // 2026-11-26T06:30:00Z; POSIX time by GNU date.
    UtcTime start_{std::chrono::milliseconds(1'795'674'600'000)};
};

TEST_F(JournalFolder, IsOnDiskAfterEveryCall) {
    Journal journal(folder_ / "new", start_);
    EXPECT_FALSE(std::filesystem::exists(folder_));  // nothing said, nothing made
    journal.add_line("{}\n");
    journal.add_text("Q");
    EXPECT_EQ(journal.path(), (folder_ / "new/copy-journal-20261126T063000Z").string());
    EXPECT_EQ(content(journal.path() + ".jsonl"), "{}\n");
    EXPECT_EQ(content(journal.path() + ".txt"), "Q");
    journal.add_text("V");
    EXPECT_EQ(content(journal.path() + ".txt"), "QV");
}

TEST_F(JournalFolder, NeverWritesOverAnotherOne) {
    Journal first(folder_, start_), second(folder_, start_);
    first.add_text("A");
    second.add_text("B");
    EXPECT_NE(first.path(), second.path());
    EXPECT_EQ(content(first.path() + ".txt"), "A");
    EXPECT_EQ(content(second.path() + ".txt"), "B");
}

TEST_F(JournalFolder, SaysOnceWhyItCannotWrite) {
    std::filesystem::create_directories(folder_);
    std::ofstream(folder_ / "file") << "no folder";
    Journal journal(folder_ / "file", start_);
    journal.add_text("A");
    EXPECT_NE(journal.failure().find("file"), std::string::npos);
    Journal none;
    none.add_text("A");
    EXPECT_EQ(none.failure(), "");
}

}  // namespace
}  // namespace skedlark::gui
