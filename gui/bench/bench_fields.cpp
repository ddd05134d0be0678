#include "gui/bench/bench_fields.h"

#include <fmt/format.h>

#include <cmath>
#include <sstream>

#include "dsp/core/csv.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kMostSteps = 200;

Error invalid(std::string message) { return {ErrorCode::invalid_value, std::move(message)}; }

std::string trimmed(const std::string& text) {
    const auto from = text.find_first_not_of(" \t");
    if (from == std::string::npos) return "";
    return text.substr(from, text.find_last_not_of(" \t") - from + 1);
}

}  // namespace

std::vector<std::string> parts_of(const std::string& text) {
    std::string spaced = text;
    for (char& c : spaced) {
        if (c == ',' || c == ';') c = ' ';
    }
    std::istringstream in(spaced);
    std::vector<std::string> parts;
    for (std::string part; in >> part;) parts.push_back(part);
    return parts;
}

Result<std::optional<double>> number_in(const FieldTexts& texts, const std::string& key,
                                        const std::string& label, double low, double high) {
    const auto found = texts.find(key);
    const std::string text = found == texts.end() ? "" : trimmed(found->second);
    if (text.empty()) return std::optional<double>();
    const auto value = csv::number(text);
    if (!value || !(*value >= low && *value <= high))
        return invalid(fmt::format("{}: '{}', allowed: {:g} to {:g}", label, text, low, high));
    return std::optional<double>(*value);
}

Result<std::vector<bench::LevelStep>> levels_of(const std::string& text, const std::string& label) {
    const auto parts = parts_of(text);
    if (parts.empty()) {
        return invalid(label +
                       ": no generator level is named; allowed: levels in dBm that rise, such as "
                       "-125 -120 -115");
    }
    std::string csv = "step,dbm\n1,off\n";
    for (std::size_t i = 0; i < parts.size(); ++i) csv += fmt::format("{},{}\n", i + 2, parts[i]);
    auto steps = bench::parse_levels(csv, label);
    if (!steps) {
        // The line means nothing to whoever typed one.
        std::string why = steps.error().message;
        const auto colon = why.find(": ");
        if (colon != std::string::npos) why = label + why.substr(colon);
        return Error{steps.error().code, why};
    }
    return steps;
}

Result<std::vector<double>> points_mhz_of(const std::string& text) {
    std::vector<double> points;
    for (const std::string& part : parts_of(text)) {
        const auto mhz = csv::number(part);
        if (!mhz || *mhz < 0.01 || *mhz > 1000.0)
            return invalid(fmt::format("Points, MHz: '{}', allowed: 0.01 to 1000", part));
        points.push_back(*mhz);
    }
    return points;
}

Result<std::vector<double>> step_levels_of(const std::string& text, const std::string& label) {
    std::vector<double> levels;
    for (const std::string& part : parts_of(text)) {
        const auto times = part.find('x');
        const auto count = times == std::string::npos ? std::optional<double>(1.0)
                                                      : csv::number(part.substr(0, times));
        const auto db = csv::number(times == std::string::npos ? part : part.substr(times + 1));
        if (!count || !db || *count < 1.0 || *count > kMostSteps || std::abs(*db) > 200.0) {
            return invalid(
                fmt::format("{}: '{}', allowed: a level in dB, or how often and the level, as 10x0",
                            label, part));
        }
        levels.insert(levels.end(), static_cast<std::size_t>(*count), *db);
    }
    if (levels.size() > kMostSteps)
        return invalid(
            fmt::format("{}: {} steps, allowed: at most {}", label, levels.size(), kMostSteps));
    return levels;
}

Result<std::vector<bench::CheckPoint>> check_points_of(const std::string& text) {
    std::string csv;
    std::istringstream in(text);
    for (std::string entry; std::getline(in, entry, ';');) {
        const auto parts = parts_of(entry);
        if (parts.empty()) continue;
        for (std::size_t i = 0; i < parts.size(); ++i) csv += (i > 0 ? "," : "") + parts[i];
        csv += "\n";
    }
    if (csv.empty()) {
        return invalid(
            "Check points: none is named; allowed: megahertz and division, such as 5 56.4 below; "
            "5 56.6 above");
    }
    return bench::parse_check_points("mhz,div,from\n" + csv, "Check points");
}

}  // namespace skedlark::gui
