#include "cli/measured_hand.h"

#include <fmt/format.h>

#include <limits>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/text_file.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::json;

double seconds_of(const Json& timing, const char* field) {
    const auto found = timing.find(field);
    return found != timing.end() && found->is_number() ? found->get<double>() / 1000.0
                                                       : std::numeric_limits<double>::quiet_NaN();
}

// The lengths of the first tone of a summary; null where it has none.
const Json* timing_of(const Json& event) {
    const auto kind = event.is_object() ? event.find("event") : event.end();
    if (kind == event.end() || *kind != "summary") return nullptr;
    const auto tones = event.find("tones");
    if (tones == event.end() || !tones->is_array() || tones->empty()) return nullptr;
    const Json& tone = tones->front();
    const auto timing = tone.is_object() ? tone.find("timing") : tone.end();
    return timing != tone.end() && timing->is_object() ? &*timing : nullptr;
}

Error damaged(const std::string& path, const std::string& why) {
    return {ErrorCode::damaged,
            fmt::format("{}: {}; wanted is what skedlark copy --json writes for "
                        "a recording of own sending",
                        path, why)};
}

}  // namespace

Result<station::HandLengths> hand_from_result(const std::string& path) {
    const auto text = read_text_file(path);
    if (!text) return text.error();
    std::istringstream lines(*text);
    Result<station::HandLengths> hand = damaged(path, "holds no summary with lengths");
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
        const Json event = Json::parse(line, nullptr, false);
        if (event.is_discarded()) {
            return damaged(path, fmt::format("line {} is not JSON", number));
        }
        const Json* timing = timing_of(event);
        if (timing == nullptr) continue;
        TimingSummary lengths{};
        lengths.dot_s = seconds_of(*timing, "dot_ms");
        lengths.dash_s = seconds_of(*timing, "dash_ms");
        lengths.element_gap_s = seconds_of(*timing, "element_gap_ms");
        lengths.character_gap_s = seconds_of(*timing, "character_gap_ms");
        lengths.word_gap_s = seconds_of(*timing, "word_gap_ms");
        hand = station::hand_measured(lengths);
        if (!hand) hand = damaged(path, hand.error().message);
    }
    return hand;
}

}  // namespace skedlark::cli
