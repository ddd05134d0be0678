#include "dsp/morse/code_text.h"

#include <fmt/format.h>

#include <sstream>

namespace skedlark::morse {

namespace {

// Bytes of the UTF-8 character at the front, 0 where it is none (RFC 3629).
std::size_t utf8_bytes(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char first = byte(0);
    const std::size_t bytes = first < 0x80                    ? 1
                              : first >= 0xC2 && first < 0xE0 ? 2
                              : first >= 0xE0 && first < 0xF0 ? 3
                              : first >= 0xF0 && first < 0xF5 ? 4
                                                              : 0;
    if (bytes > text.size()) return 0;
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((byte(i) & 0xC0U) != 0x80U) return 0;
    }
    return bytes;
}

Error other_encoding(const std::string& name, const std::string& what) {
    return {ErrorCode::damaged, fmt::format("{}: {}; save the text as UTF-8", name, what)};
}

// The first thing in a line that the code does not hold, if any.
Status check_line(const std::string& name, std::string_view line, int number, bool open_marks) {
    int place = 1;
    for (std::string_view rest = line; !rest.empty(); ++place) {
        const std::size_t bytes = utf8_bytes(rest);
        if (bytes == 0) {
            return other_encoding(name,
                                  fmt::format("byte 0x{:02X} at line {}, character {} is not UTF-8",
                                              static_cast<unsigned char>(rest[0]), number, place));
        }
        if (rest[0] == '[') {
            const std::size_t end = rest.find(']');
            const auto signal = rest.substr(0, end == std::string_view::npos ? end : end + 1);
            if (end == std::string_view::npos || !symbols_from_text(signal)) {
                return Error{ErrorCode::invalid_value,
                             fmt::format("{}: \"{}\" at line {}, character {} is no procedure "
                                         "signal; allowed are [VE] [HH] [AS] [SK] [KA] [AR] [BT] "
                                         "[KN]",
                                         name, signal.substr(0, 20), number, place)};
            }
            place += static_cast<int>(signal.size()) - 1;
            rest.remove_prefix(signal.size());
            continue;
        }
        const std::string_view one = rest.substr(0, bytes);
        const bool blank = one == " " || one == "\t" || one == "\r" || (open_marks && one == "_");
        // An overline makes the letter before it part of a procedure signal.
        const bool overlined = rest.substr(bytes, 2) == "\u0305" || one == "\u0305";
        if (!blank && !overlined && !symbols_from_text(one)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}: \"{}\" at line {}, character {} is not in the Morse "
                                     "code; allowed are letters, figures, . , : ? ' - / ( ) \" = "
                                     "+ @ and procedure signals such as [AR]",
                                     name, one, number, place)};
        }
        rest.remove_prefix(bytes);
    }
    return Done{};
}

}  // namespace

Result<std::string> code_text(std::string_view bytes, const std::string& name, bool open_marks) {
    std::string_view text = bytes;
    if (text.substr(0, 2) == "\xFF\xFE" || text.substr(0, 2) == "\xFE\xFF" ||
        text.substr(0, 200).find('\0') != std::string_view::npos) {
        return other_encoding(name, "is UTF-16 or no text at all");
    }
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    int number = 0;
    std::istringstream lines{std::string(text)};
    for (std::string line; std::getline(lines, line);) {
        if (const Status status = check_line(name, line, ++number, open_marks); !status) {
            return status.error();
        }
    }
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) {
        return Error{ErrorCode::invalid_value, name + ": is empty: no text to compare with"};
    }
    return std::string(text);
}

Result<std::vector<std::optional<Symbol>>> meant_text(std::string_view bytes,
                                                      const std::string& name) {
    const auto text = code_text(bytes, name);
    if (!text) return text.error();
    auto symbols = symbols_from_text(*text);
    if (!symbols) return Error{symbols.error().code, name + ": " + symbols.error().message};
    if (symbols->size() > kLongestMeantText) {
        return Error{ErrorCode::invalid_value, name + ": " + std::to_string(symbols->size()) +
                                                   " characters; allowed are up to " +
                                                   std::to_string(kLongestMeantText)};
    }
    return symbols;
}

std::string scoring_name(const Symbol& symbol) {
    const auto same = find_by_elements(symbol.elements);
    return std::string(same.empty() ? symbol.text : same.front()->text);
}

}  // namespace skedlark::morse
