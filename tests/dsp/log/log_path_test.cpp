#include "dsp/log/log_path.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>

#include "tests/dsp/log/temp_folder.h"

namespace skedlark::log {
namespace {

class LogPath : public testing::Test {
 protected:
    LogPath() {
        set("XDG_DATA_HOME", "");
        set("HOME", "");
    }
    ~LogPath() override {
        for (const auto& [name, value] : before_) ::setenv(name.c_str(), value.c_str(), 1);
    }
    void set(const char* name, const std::string& value) {
        const char* old = std::getenv(name);
        before_.emplace_back(name, old == nullptr ? "" : old);
        ::setenv(name, value.c_str(), 1);
    }
    TempFolder folder_;

 private:
    std::vector<std::pair<std::string, std::string>> before_;
};

// XDG Base Directory Specification: XDG_DATA_HOME, else $HOME/.local/share; paths must be absolute.
TEST_F(LogPath, ByTheSpecification) {
    EXPECT_EQ(default_log_path().error().code, ErrorCode::not_found);
    set("HOME", "/home/ann");
    EXPECT_EQ(*default_log_path(), "/home/ann/.local/share/skedlark/log.db");
    set("XDG_DATA_HOME", "relative");
    EXPECT_EQ(*default_log_path(), "/home/ann/.local/share/skedlark/log.db");
    set("XDG_DATA_HOME", "/data");
    EXPECT_EQ(*default_log_path(), "/data/skedlark/log.db");
}

TEST_F(LogPath, FoldersAreMadeForWriting) {
    set("XDG_DATA_HOME", folder_.path("deep/er"));
    EXPECT_EQ(*log_path_for_writing(""), folder_.path("deep/er/skedlark/log.db"));
    EXPECT_TRUE(std::filesystem::is_directory(folder_.path("deep/er/skedlark")));
    EXPECT_EQ(*log_path_for_writing("/nowhere/own.db"), "/nowhere/own.db");
    folder_.put("file", "");
    set("XDG_DATA_HOME", folder_.path("file"));
    EXPECT_EQ(log_path_for_writing("").error().code, ErrorCode::write_failed);
}

}  // namespace
}  // namespace skedlark::log
