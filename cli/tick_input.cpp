#include "cli/tick_input.h"

#include <fmt/format.h>

#include <iostream>
#include <sstream>

#include "cli/text_file.h"

namespace skedlark::cli {

namespace {

std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(" \t\r");
    if (first == std::string::npos) return "";
    return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

}  // namespace

Result<std::vector<station::Tick>> read_ticks(const std::string& path) {
    const auto text = read_text_file(path);
    if (!text) return text.error();
    std::vector<station::Tick> ticks;
    std::istringstream lines(*text);
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        std::string what = trimmed(line.substr(0, line.find('#')));
        if (what.empty()) continue;
        station::Tick tick;
        constexpr std::string_view kMinute = "minute";
        if (what.ends_with(kMinute)) {
            tick.minute = true;
            what = trimmed(what.substr(0, what.size() - kMinute.size()));
        }
        const auto time = parse_utc(what);
        if (!time) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}:{}: {}", path, number, time.error().message)};
        }
        tick.heard = *time;
        ticks.push_back(tick);
    }
    return ticks;
}

std::vector<station::Tick> tap_ticks() {
    std::vector<station::Tick> ticks;
    for (std::string line; std::getline(std::cin, line);) {
        const UtcTime now =
            std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
        const std::string word = trimmed(line);
        if (word == "q") break;
        ticks.push_back({now, word == "m"});
    }
    return ticks;
}

}  // namespace skedlark::cli
