#include "dsp/morse/code_table.h"

#include <algorithm>
#include <array>

namespace skedlark::morse {
namespace {

constexpr std::string_view kAccentedE = "\u00c9";
constexpr std::string_view kSmallAccentedE = "\u00e9";
constexpr std::string_view kOverline = "\u0305";

// clang-format off
constexpr auto kSymbols = std::to_array<Symbol>({
    {"A", ".-"}, {"B", "-..."}, {"C", "-.-."}, {"D", "-.."}, {"E", "."}, {"F", "..-."},
    {"G", "--."}, {"H", "...."}, {"I", ".."}, {"J", ".---"}, {"K", "-.-"}, {"L", ".-.."},
    {"M", "--"}, {"N", "-."}, {"O", "---"}, {"P", ".--."}, {"Q", "--.-"}, {"R", ".-."},
    {"S", "..."}, {"T", "-"}, {"U", "..-"}, {"V", "...-"}, {"W", ".--"}, {"X", "-..-"},
    {"Y", "-.--"}, {"Z", "--.."}, {kAccentedE, "..-.."},
    {"1", ".----"}, {"2", "..---"}, {"3", "...--"}, {"4", "....-"}, {"5", "....."},
    {"6", "-...."}, {"7", "--..."}, {"8", "---.."}, {"9", "----."}, {"0", "-----"},
    {".", ".-.-.-"}, {",", "--..--"}, {":", "---..."}, {"?", "..--.."}, {"'", ".----."},
    {"-", "-....-"}, {"/", "-..-."}, {"(", "-.--."}, {")", "-.--.-"}, {"\"", ".-..-."},
    {"=", "-...-"}, {"+", ".-.-."}, {"\u00d7", "-..-"}, {"@", ".--.-."},
    {"VE", "...-.", true},      // understood
    {"HH", "........", true},   // error, eight dots
    {"AS", ".-...", true},      // wait
    {"SK", "...-.-", true},     // end of work
    {"KA", "-.-.-", true},      // starting signal
    {"AR", ".-.-.", true},      // end of message
    {"BT", "-...-", true},      // break between parts
    {"KN", "-.--.", true},      // go ahead, named station only
});
// clang-format on

// Procedure signals that go by other letters as well; common practice, no source.
struct Alias {
    std::string_view other;
    std::string_view text;
};
constexpr auto kAliases = std::to_array<Alias>({{"CT", "KA"}, {"SN", "VE"}, {"VA", "SK"}});

std::string upper(std::string_view text) {
    if (text == kSmallAccentedE) return std::string(kAccentedE);
    std::string result(text);
    for (char& c : result) {
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    }
    return result;
}

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

// Bytes of the UTF-8 character at the front; damaged text gives single bytes.
std::size_t character_bytes(std::string_view text) {
    const auto first = static_cast<unsigned char>(text.front());
    std::size_t bytes = 1;
    if (first >= 0xF0) {
        bytes = 4;
    } else if (first >= 0xE0) {
        bytes = 3;
    } else if (first >= 0xC0) {
        bytes = 2;
    }
    return std::min(bytes, text.size());
}

struct Token {
    const Symbol* symbol = nullptr;  // null: word gap, open mark, or not in the table
    std::string text;                // as written, " " for a run of blanks
    std::size_t bytes = 0;
};

Token bracketed(std::string_view text) {
    const auto end = text.find(']');
    if (end == std::string_view::npos) return {nullptr, std::string(text), text.size()};
    return {find_by_text(text.substr(1, end - 1), true), std::string(text.substr(0, end + 1)),
            end + 1};
}

// Overlined letters make a procedure signal; two of them may touch, so the first two letters that
// the table knows are taken.
Token overlined(std::string_view text) {
    std::string letters;
    std::size_t bytes = 0;
    while (letters.size() < 2 && bytes < text.size() &&
           text.substr(bytes + 1, kOverline.size()) == kOverline) {
        letters += text[bytes];
        bytes += 1 + kOverline.size();
    }
    return {find_by_text(letters, true), std::string(text.substr(0, bytes)), bytes};
}

Token next_token(std::string_view text) {
    if (is_blank(text.front())) {
        std::size_t bytes = 0;
        while (bytes < text.size() && is_blank(text[bytes])) ++bytes;
        return {nullptr, " ", bytes};
    }
    if (text.front() == '[') return bracketed(text);
    if (text.substr(1, kOverline.size()) == kOverline) return overlined(text);
    const std::size_t bytes = character_bytes(text);
    return {find_by_text(text.substr(0, bytes)), std::string(text.substr(0, bytes)), bytes};
}

Error not_in_code(std::string_view text, std::size_t at, const std::string& what) {
    return {ErrorCode::invalid_value,
            "text: \"" + what + "\" at character " + std::to_string(at + 1) + " of \"" +
                std::string(text.substr(0, 40)) +
                "\" is not in the Morse code; allowed are letters, figures, . , : ? ' - / ( ) \" = "
                "+ @ and [VE] [HH] [AS] [SK] [KA] [AR] [BT] [KN]"};
}

}  // namespace

std::span<const Symbol> symbols() { return kSymbols; }

const Symbol* find_by_text(std::string_view text, bool procedure) {
    std::string wanted = upper(text);
    if (procedure) {
        for (const Alias& alias : kAliases) {
            if (wanted == alias.other) wanted = alias.text;
        }
    }
    const auto found = std::find_if(kSymbols.begin(), kSymbols.end(), [&](const Symbol& symbol) {
        return symbol.procedure == procedure && symbol.text == wanted;
    });
    return found == kSymbols.end() ? nullptr : &*found;
}

std::vector<const Symbol*> find_by_elements(std::string_view elements) {
    std::vector<const Symbol*> found;
    for (const Symbol& symbol : kSymbols) {
        if (symbol.elements == elements) found.push_back(&symbol);
    }
    return found;
}

const Symbol* read_elements(std::string_view elements, bool alone) {
    const auto readings = find_by_elements(elements);
    if (readings.empty()) return nullptr;
    if (alone && readings.back()->procedure) return readings.back();
    return readings.front();
}

int units_of(std::string_view elements) {
    int units = 0;
    for (const char element : elements) units += (element == '-' ? 3 : 1) + 1;
    return elements.empty() ? 0 : units - 1;
}

Result<std::vector<std::optional<Symbol>>> symbols_from_text(std::string_view text) {
    std::vector<std::optional<Symbol>> result;
    for (std::size_t at = 0; at < text.size();) {
        const Token token = next_token(text.substr(at));
        if (token.symbol != nullptr) {
            result.emplace_back(*token.symbol);
        } else if (token.text != " ") {
            return not_in_code(text, at, token.text);
        } else if (!result.empty()) {
            result.emplace_back(std::nullopt);
        }
        at += token.bytes;
    }
    if (!result.empty() && !result.back()) result.pop_back();
    return result;
}

Result<std::vector<std::string>> scoring_symbols(std::string_view text) {
    std::vector<std::string> result;
    for (std::size_t at = 0; at < text.size();) {
        const Token token = next_token(text.substr(at));
        if (token.symbol != nullptr) {
            const Symbol& first = *find_by_elements(token.symbol->elements).front();
            result.emplace_back(first.text);
        } else if (token.text == "_") {
            result.emplace_back("_");
        } else if (token.text != " ") {
            return not_in_code(text, at, token.text);
        } else if (!result.empty()) {
            result.emplace_back(" ");
        }
        at += token.bytes;
    }
    if (!result.empty() && result.back() == " ") result.pop_back();
    return result;
}

}  // namespace skedlark::morse
