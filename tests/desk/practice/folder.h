// A folder of its own for a test's log, gone with the test.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <string>

namespace skedlark::gui {

class TestFolder {
 public:
    TestFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "practice.XXXXXX").string();
        path_ = mkdtemp(pattern.data());
    }
    TestFolder(const TestFolder&) = delete;
    TestFolder& operator=(const TestFolder&) = delete;
    ~TestFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    [[nodiscard]] std::string path(const std::string& name) const { return path_ + "/" + name; }

 private:
    std::string path_;
};

}  // namespace skedlark::gui
