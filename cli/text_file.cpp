#include "cli/text_file.h"

#include <filesystem>
#include <fstream>

namespace skedlark::cli {

Result<std::string> read_text_file(const std::string& path) {
    const bool standard_input = path == "-";
    const std::string name = standard_input ? "standard input" : path;
    std::error_code ignored;
    if (!standard_input && std::filesystem::is_directory(path, ignored)) {
        return Error{ErrorCode::unreadable, name + ": is a directory, not a text file"};
    }
    if (!standard_input && !std::filesystem::exists(path, ignored)) {
        return Error{ErrorCode::not_found, name + ": there is no such file"};
    }
    std::ifstream in(standard_input ? "/dev/stdin" : path, std::ios::binary);
    if (!in) return Error{ErrorCode::unreadable, name + ": cannot be read"};
    std::string text;
    std::string block(65536, '\0');
    while (in.read(block.data(), static_cast<std::streamsize>(block.size())) || in.gcount() > 0) {
        text.append(block, 0, static_cast<std::size_t>(in.gcount()));
        if (text.size() > kLongestTextFile) {
            return Error{ErrorCode::unsupported, name + ": longer than 16 MiB"};
        }
    }
    if (in.bad()) return Error{ErrorCode::unreadable, name + ": cannot be read"};
    return text;
}

}  // namespace skedlark::cli
