#include "cli/meant_text.h"

#include "cli/text_file.h"

namespace skedlark::cli {

Result<std::string> code_text(const std::string& path, bool open_marks) {
    const auto bytes = read_text_file(path);
    if (!bytes) return bytes.error();
    return morse::code_text(*bytes, path, open_marks);
}

Result<std::vector<std::optional<morse::Symbol>>> meant_text(const std::string& path) {
    const auto bytes = read_text_file(path);
    if (!bytes) return bytes.error();
    return morse::meant_text(*bytes, path);
}

}  // namespace skedlark::cli
