#include "dsp/bench/limits.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <set>
#include <vector>

#include "dsp/core/toml_fields.h"

namespace skedlark::bench {
namespace {

constexpr Limit at_least(double min) { return {.min = min, .max = {}, .own = true}; }
constexpr Limit at_most(double max) { return {.min = {}, .max = max, .own = true}; }

// One row a measurement, tests in the order of the bench. The limits are the project's own.
const std::array kKinds = {
    MeasurementKind{"chain", "level_dbfs"},
    MeasurementKind{"chain", "noise_dbfs", at_most(-60.0)},
    MeasurementKind{"chain", "noise_microvolt"},
    MeasurementKind{"chain", "hum_dbfs", at_most(-60.0)},
    MeasurementKind{"chain", "thd_percent", at_most(0.5)},
    MeasurementKind{"chain", "clock_ppm"},
    MeasurementKind{"chain", "full_scale_volts"},
    MeasurementKind{"hum", "supply_hz"},
    MeasurementKind{"hum", "hum_dbfs"},
    MeasurementKind{"hum", "hum_to_tone_db", at_most(-30.0)},
    MeasurementKind{"hum", "line_dbfs"},
    MeasurementKind{"hum", "am_percent", at_most(5.0)},
    MeasurementKind{"hum", "am_line_percent"},
    MeasurementKind{"hum", "fm_hz", at_most(2.0)},
    MeasurementKind{"hum", "fm_line_hz"},
    MeasurementKind{"sensitivity", "s_plus_n_over_n_db", at_least(10.0)},
    MeasurementKind{"sensitivity", "sinad_db"},
    MeasurementKind{"sensitivity", "level_for_10db_dbm"},
    MeasurementKind{"sensitivity", "level_for_10db_microvolt"},
    MeasurementKind{"sensitivity", "level_for_sinad_12db_dbm"},
    MeasurementKind{"sensitivity", "level_for_sinad_12db_microvolt"},
    MeasurementKind{"sensitivity", "rise_db_per_db"},
    MeasurementKind{"sensitivity", "image_db"},
    MeasurementKind{"sensitivity", "dead_spots", at_most(0.0)},
    MeasurementKind{"sensitivity", "spread_db"},
    MeasurementKind{"tone", "pitch_hz"},
    MeasurementKind{"tone", "drift_hz_per_s"},
    MeasurementKind{"tone", "level_dbfs"},
    MeasurementKind{"tone", "level_volts"},
    MeasurementKind{"tone", "sinad_db", at_least(12.0)},
    MeasurementKind{"tone", "sinad_steady_db"},
    MeasurementKind{"tone", "snr_db"},
    MeasurementKind{"tone", "noise_dbfs"},
    MeasurementKind{"tone", "wander_db"},
    MeasurementKind{"tone", "thd_percent", at_most(10.0)},
    MeasurementKind{"tone", "thd_db"},
    MeasurementKind{"tone", "harmonic_2_db"},
    MeasurementKind{"tone", "harmonic_3_db"},
    MeasurementKind{"tone", "harmonic_4_db"},
    MeasurementKind{"tone", "harmonic_5_db"},
    MeasurementKind{"contacts", "dropouts_touched_per_min", at_most(1.0)},
    MeasurementKind{"contacts", "dropouts_at_rest_per_min", at_most(1.0)},
    MeasurementKind{"contacts", "crackles_touched_per_min"},
    MeasurementKind{"contacts", "crackles_at_rest_per_min"},
    MeasurementKind{"dial", "error_div"},
    MeasurementKind{"dial", "largest_error_div"},
    MeasurementKind{"dial", "largest_left_div"},
    MeasurementKind{"dial", "offset_div"},
    MeasurementKind{"dial", "stretch_percent"},
    MeasurementKind{"dial", "backlash_div"},
    MeasurementKind{"drift", "pitch_at_start_hz"},
    MeasurementKind{"drift", "pitch_at_end_hz"},
    MeasurementKind{"drift", "total_drift_hz"},
    MeasurementKind{"drift", "settled_min"},
    MeasurementKind{"drift", "most_in_stretch_hz"},
    MeasurementKind{"drift", "wander_hz"},
    MeasurementKind{"drift", "jumps", at_most(0.0)},
    MeasurementKind{"drift", "supply_prompt_hz"},
    MeasurementKind{"drift", "supply_settled_hz"},
    MeasurementKind{"drift", "retrace_hz"},
    MeasurementKind{"passband", "width_6db_hz"},
    MeasurementKind{"passband", "low_6db_hz"},
    MeasurementKind{"passband", "high_6db_hz"},
    MeasurementKind{"passband", "width_60db_hz"},
    MeasurementKind{"passband", "shape_factor"},
    MeasurementKind{"passband", "noise_bandwidth_hz"},
    MeasurementKind{"passband", "centre_hz"},
    MeasurementKind{"passband", "side_ratio_db"},
    MeasurementKind{"passband", "pulling_hz"},
    MeasurementKind{"ring", "taps"},
    MeasurementKind{"ring", "ringing_taps"},
    MeasurementKind{"ring", "ring_hz"},
    MeasurementKind{"ring", "decay_ms"},
    MeasurementKind{"ring", "ring_over_noise_db"},
    MeasurementKind{"rundown", "level_at_start_dbfs"},
    MeasurementKind{"rundown", "fallen_min"},
    MeasurementKind{"rundown", "failed_min"},
    MeasurementKind{"rundown", "last_level_db"},
    MeasurementKind{"rundown", "last_pitch_change_hz"},
};

std::string key(std::string_view test, std::string_view name) {
    return std::string(test) + "." + std::string(name);
}

std::string names_of(std::string_view test) {
    std::string names;
    for (const MeasurementKind& kind : kKinds) {
        if (kind.test == test) names += (names.empty() ? "" : ", ") + std::string(kind.name);
    }
    return names;
}

std::string tests_in_words() {
    std::string tests;
    std::set<std::string_view> told;
    for (const MeasurementKind& kind : kKinds) {
        if (told.insert(kind.test).second)
            tests += (tests.empty() ? "" : ", ") + std::string(kind.test);
    }
    return tests;
}

bool is_known(std::string_view test, std::string_view name) {
    for (const MeasurementKind& kind : kKinds) {
        if (kind.test == test && (name.empty() || kind.name == name)) return true;
    }
    return false;
}

long line_of(const toml::node& node) { return static_cast<long>(node.source().begin.line); }

Limit limit_of(const toml::node& node, const std::string& where, TomlProblems& problems) {
    const toml::table* table = node.as_table();
    if (table == nullptr) {
        problems.add(line_of(node),
                     where + ": is no limit; allowed: { min = N }, { max = N }, both");
        return {};
    }
    TomlFields fields(*table, where, problems);
    Limit limit;
    const double min = fields.any_number("min", 0.0);
    const double max = fields.any_number("max", 0.0);
    fields.refuse_unknown();
    if (fields.has("min")) limit.min = min;
    if (fields.has("max")) limit.max = max;
    if (!limit.min && !limit.max) {
        problems.add(line_of(node), where + ": holds no limit; allowed: min, max");
    } else if (limit.min && limit.max && *limit.min > *limit.max) {
        problems.add(line_of(node),
                     fmt::format("{}: min {} is above max {}", where, *limit.min, *limit.max));
    }
    return limit;
}

}  // namespace

std::span<const MeasurementKind> measurement_kinds() { return kKinds; }

Limits::Limits() {
    for (const MeasurementKind& kind : kKinds) {
        if (kind.limit.min || kind.limit.max) limits_[key(kind.test, kind.name)] = kind.limit;
    }
}

Result<Limits> Limits::read(const std::string& path) {
    const auto table = parse_toml_file(path);
    if (!table) return table.error();
    return of_table(*table, path);
}

Result<Limits> Limits::parse(std::string_view text, const std::string& file) {
    const auto table = parse_toml(text, file);
    if (!table) return table.error();
    return of_table(*table, file);
}

Result<Limits> Limits::of_table(const toml::table& table, const std::string& path) {
    TomlProblems problems{path};
    Limits limits;
    for (const auto& [test, node] : table) {
        const std::string name(test.str());
        if (!is_known(name, "")) {
            problems.add(line_of(node), fmt::format("{}: is no test with limits; allowed: {}", name,
                                                    tests_in_words()));
            continue;
        }
        const toml::table* fields = node.as_table();
        if (fields == nullptr) {
            problems.add(line_of(node), fmt::format("{}: must be a table, [{}]", name, name));
            continue;
        }
        for (const auto& [field, limit] : *fields) {
            const std::string where = key(name, field.str());
            if (!is_known(name, field.str())) {
                problems.add(line_of(limit),
                             fmt::format("{}: is no measurement of this test; allowed: {}", where,
                                         names_of(name)));
                continue;
            }
            limits.limits_[where] = limit_of(limit, where, problems);
        }
    }
    if (problems.first) return *problems.first;
    return limits;
}

std::optional<Limit> Limits::of(std::string_view test, std::string_view name) const {
    const auto found = limits_.find(key(test, name));
    if (found == limits_.end()) return std::nullopt;
    return found->second;
}

Judgement judge(const Measurement& measurement, const Limit& limit) {
    const Figure& figure = measurement.figure;
    const bool below = limit.max && figure.value > *limit.max;
    const bool above = limit.min && figure.value < *limit.min;
    switch (measurement.known) {
        case Known::at_most:
            // The truth lies anywhere below the value.
            if (above) return {.pass = false};
            if (limit.min || below) return {.pass = std::nullopt, .sure = false};
            return {.pass = true};
        case Known::at_least:
            if (below) return {.pass = false};
            if (limit.max || above) return {.pass = std::nullopt, .sure = false};
            return {.pass = true};
        case Known::value:
            break;
    }
    const bool clear =
        (!limit.max || std::abs(figure.value - *limit.max) > figure.uncertainty_95) &&
        (!limit.min || std::abs(figure.value - *limit.min) > figure.uncertainty_95);
    return {.pass = !below && !above, .sure = clear};
}

}  // namespace skedlark::bench
