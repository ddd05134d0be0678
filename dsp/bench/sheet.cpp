#include "dsp/bench/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::bench {

bool keeps_limits(const Sheet& sheet) {
    return std::all_of(sheet.report.measurements.begin(), sheet.report.measurements.end(),
                       [&](const Measurement& m) {
                           const auto limit = sheet.limits.of(sheet.test, m.name);
                           return !limit || judge(m, *limit).pass.value_or(false);
                       });
}

int decimals_of(const Figure& figure) {
    const double scale = figure.uncertainty_95 > 0.0 ? figure.uncertainty_95 : figure.value * 1e-3;
    if (!(std::abs(scale) > 0.0)) return 2;
    return std::clamp(1 - static_cast<int>(std::floor(std::log10(std::abs(scale)))), 0, 9);
}

std::string unit_of(const std::string& name) {
    static const std::pair<const char*, const char*> kUnits[] = {
        {"_hz_per_s", "Hz/s"}, {"_hz_per_min", "Hz/min"},
        {"_dbfs", "dBFS"},     {"_dbm", "dBm"},
        {"_dbuv", "dBuV"},     {"_db", "dB"},
        {"_hz", "Hz"},         {"_khz", "kHz"},
        {"_percent", "%"},     {"_ppm", "ppm"},
        {"_volts", "V"},       {"_microvolt", "uV"},
        {"_ms", "ms"},         {"_s", "s"},
        {"_min", "min"},       {"_div", "div"}};
    for (const auto& [ending, unit] : kUnits) {
        if (name.ends_with(ending)) return unit;
    }
    return "";
}

std::string figure_text(const Measurement& m) {
    const int decimals = decimals_of(m.figure);
    const std::string unit = unit_of(m.name);
    if (m.known != Known::value) {
        return fmt::format("{} {:.{}f} {}", m.known == Known::at_most ? "below" : "above",
                           m.figure.value, decimals, unit);
    }
    return fmt::format("{:.{}f} +- {:.{}f} {}", m.figure.value, decimals, m.figure.uncertainty_95,
                       decimals, unit);
}

std::string difference_text(const std::string& name, const Figure& difference) {
    const int decimals = decimals_of(difference);
    return fmt::format("{:+.{}f} +- {:.{}f} {}", difference.value, decimals,
                       difference.uncertainty_95, decimals, unit_of(name));
}

std::string limit_text(const Limit& limit) {
    std::string text;
    if (limit.min) text += fmt::format("min {:g}", *limit.min);
    if (limit.max) text += fmt::format("{}max {:g}", text.empty() ? "" : ", ", *limit.max);
    return text + (limit.own ? "*" : "");
}

std::string verdict_text(const Judgement& judgement) {
    if (!judgement.pass) return "not settled";
    return std::string(*judgement.pass ? "kept" : "MISSED") + (judgement.sure ? "" : ", close");
}

}  // namespace skedlark::bench
