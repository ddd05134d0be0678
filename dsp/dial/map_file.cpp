#include "dsp/dial/map_file.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "dsp/core/text_file.h"

namespace skedlark::dial {
namespace {

using nlohmann::json;

constexpr std::size_t kMaxBytes = 4000000;
constexpr const char* kFormat = "skedlark-place-map";
constexpr int kVersion = 1;
constexpr double kSameMhz = 1e-6;  // 1 Hz
constexpr std::array<std::string_view, 4> kHeardWords{"keyed", "steady", "expected_call",
                                                      "other_call"};

// What is wrong with a field; caught in parse_map().
struct Damage {
    std::string message;
};

const json& field(const json& object, const std::string& of, const char* key) {
    const auto found = object.find(key);
    if (found == object.end()) throw Damage{of + key + " is missing"};
    return *found;
}

double number(const json& object, const std::string& of, const char* key) {
    const json& value = field(object, of, key);
    if (!value.is_number()) throw Damage{of + key + " is no number"};
    return value.get<double>();
}

std::string text(const json& object, const std::string& of, const char* key) {
    const json& value = field(object, of, key);
    if (!value.is_string()) throw Damage{of + key + " is no text"};
    return value.get<std::string>();
}

const json& list(const json& object, const char* key) {
    const json& value = field(object, "", key);
    if (!value.is_array()) throw Damage{std::string(key) + " is no list"};
    return value;
}

std::vector<PlaceMap::ByLevel> cells_of(const json& object, const char* key) {
    std::vector<PlaceMap::ByLevel> cells;
    for (const json& one : list(object, key)) {
        const std::string where = fmt::format("{}[{}]", key, cells.size());
        if (!one.is_array() || one.size() != kLevels) {
            throw Damage{fmt::format("{} is no list of {} numbers", where, kLevels)};
        }
        PlaceMap::ByLevel cell{};
        for (std::size_t level = 0; level < kLevels; ++level) {
            if (!one[level].is_number()) throw Damage{where + " holds what is no number"};
            cell[level] = one[level].get<double>();
        }
        cells.push_back(cell);
    }
    return cells;
}

Heard heard_of(const std::string& word, const std::string& where) {
    for (std::size_t i = 0; i < kHeardWords.size(); ++i) {
        if (word == kHeardWords[i]) return static_cast<Heard>(i);
    }
    throw Damage{fmt::format("{}heard: '{}' is not known; allowed: {}", where, word.substr(0, 40),
                             "keyed, steady, expected_call, other_call")};
}

std::vector<Candidate> candidates_of(const json& object) {
    std::vector<Candidate> candidates;
    for (const json& one : list(object, "candidates")) {
        const std::string where = fmt::format("candidates[{}].", candidates.size());
        if (!one.is_object()) throw Damage{where + " is no object"};
        candidates.push_back({number(one, where, "div"), number(one, where, "sd_div"),
                              heard_of(text(one, where, "heard"), where),
                              number(one, where, "confidence")});
    }
    return candidates;
}

void check_kind(const json& object) {
    if (!object.is_object()) throw Damage{"is no where-is-it map: no JSON object"};
    const std::string format = text(object, "", "format");
    if (format != kFormat) {
        throw Damage{fmt::format("format: '{}' is no where-is-it map; allowed: \"{}\"",
                                 format.substr(0, 40), kFormat)};
    }
    const double version = number(object, "", "version");
    if (version != kVersion) {
        throw Damage{fmt::format("version: {} is not known here; allowed: {}", version, kVersion)};
    }
}

PlaceMap::State state_of(const json& object) {
    check_kind(object);
    PlaceMap::State state;
    state.receiver = text(object, "", "receiver");
    state.band = text(object, "", "band");
    state.wanted_mhz = number(object, "", "wanted_mhz");
    state.low_div = number(object, "", "low_div");
    state.step_div = number(object, "", "step_div");
    state.elsewhere = number(object, "", "elsewhere");
    state.elsewhere_at_first = number(object, "", "elsewhere_at_first");
    state.others_per_div = number(object, "", "others_per_div");
    const double passes = number(object, "", "passes");
    if (!(passes >= 0.0 && passes <= 1e6) || passes != std::floor(passes)) {
        throw Damage{fmt::format("passes: {} is not allowed; allowed: 0 to 1000000", passes)};
    }
    state.passes = static_cast<int>(passes);
    state.now = cells_of(object, "now");
    state.left = cells_of(object, "left");
    state.candidates = candidates_of(object);
    return state;
}

// A map speaks of one dial and one station only.
std::string foreign(const PlaceMap::State& state, const Dial& dial, double wanted_mhz) {
    if (state.receiver != dial.receiver().name) {
        return fmt::format("receiver: the map is of '{}', not of '{}'", state.receiver,
                           dial.receiver().name);
    }
    if (state.band != dial.band().name) {
        return fmt::format("band: the map is of band '{}', not of '{}'", state.band,
                           dial.band().name);
    }
    if (!(std::abs(state.wanted_mhz - wanted_mhz) <= kSameMhz)) {
        return fmt::format("wanted_mhz: the map looks for {} MHz, not for {} MHz", state.wanted_mhz,
                           wanted_mhz);
    }
    return "";
}

}  // namespace

Result<PlaceMap> parse_map(std::string_view json_text, const std::string& name, const Dial& dial,
                           double wanted_mhz) {
    PlaceMap::State state;
    try {
        state = state_of(json::parse(json_text));
    } catch (const Damage& damage) {
        return Error{ErrorCode::damaged, name + ": " + damage.message};
    } catch (const json::exception& wrong) {
        return Error{ErrorCode::damaged, name + ": no JSON: " + wrong.what()};
    }
    if (const std::string message = foreign(state, dial, wanted_mhz); !message.empty()) {
        return Error{ErrorCode::invalid_value, name + ": " + message};
    }
    Result<PlaceMap> map = PlaceMap::restore(dial, state);
    if (!map) return Error{map.error().code, name + ": " + map.error().message};
    return map;
}

Result<PlaceMap> read_map(const std::string& path, const Dial& dial, double wanted_mhz) {
    const Result<std::string> content = read_text_file(path, kMaxBytes);
    if (!content) return content.error();
    return parse_map(*content, path, dial, wanted_mhz);
}

std::string map_json(const PlaceMap& map) {
    const PlaceMap::State state = map.state();
    json object = {{"format", kFormat},
                   {"version", kVersion},
                   {"receiver", state.receiver},
                   {"band", state.band},
                   {"wanted_mhz", state.wanted_mhz},
                   {"low_div", state.low_div},
                   {"step_div", state.step_div},
                   {"elsewhere", state.elsewhere},
                   {"elsewhere_at_first", state.elsewhere_at_first},
                   {"others_per_div", state.others_per_div},
                   {"passes", state.passes},
                   {"now", state.now},
                   {"left", state.left},
                   {"candidates", json::array()}};
    for (const Candidate& one : state.candidates) {
        object["candidates"].push_back({{"div", one.div},
                                        {"sd_div", one.sd_div},
                                        {"heard", kHeardWords[static_cast<std::size_t>(one.heard)]},
                                        {"confidence", one.confidence}});
    }
    return object.dump(-1, ' ', false, json::error_handler_t::replace) + "\n";
}

Status write_map(const std::string& path, const PlaceMap& map) {
    return replace_file(path, map_json(map));
}

}  // namespace skedlark::dial
