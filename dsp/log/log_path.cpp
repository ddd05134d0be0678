#include "dsp/log/log_path.h"

#include <cstdlib>
#include <filesystem>

namespace skedlark::log {

namespace {

std::string environment(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? "" : value;
}

}  // namespace

Result<std::string> default_log_path() {
    // The specification passes over a path that is not absolute.
    std::string folder = environment("XDG_DATA_HOME");
    if (folder.empty() || folder.front() != '/') {
        const std::string home = environment("HOME");
        if (home.empty()) {
            return Error{ErrorCode::not_found,
                         "no place for the log: neither XDG_DATA_HOME nor HOME is set; name its "
                         "file"};
        }
        folder = home + "/.local/share";
    }
    return folder + "/skedlark/log.db";
}

Result<std::string> log_path_for_writing(const std::string& file) {
    if (!file.empty()) return file;
    auto path = default_log_path();
    if (!path) return path;
    const auto folder = std::filesystem::path(*path).parent_path();
    std::error_code failed;
    std::filesystem::create_directories(folder, failed);
    if (failed) {
        return Error{ErrorCode::write_failed,
                     folder.string() + ": cannot be made: " + failed.message()};
    }
    return path;
}

std::string whole_path(const std::string& path) {
    std::error_code failed;
    const auto absolute = std::filesystem::absolute(path, failed);
    return path.empty() || failed ? path : absolute.string();
}

}  // namespace skedlark::log
