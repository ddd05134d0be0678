#include "tests/support/golden.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <optional>

namespace skedlark::support {
namespace {

constexpr std::size_t kMostTold = 10;

std::optional<double> number(const std::string& text) {
    char* end = nullptr;
    const double value = std::strtod(text.c_str(), &end);
    if (text.empty() || *end != '\0' || !std::isfinite(value)) return std::nullopt;
    return value;
}

bool agrees(const std::string& golden, const std::string& now, std::optional<double> tolerance) {
    if (golden == now) return true;
    if (!tolerance) return false;
    const auto a = number(golden);
    const auto b = number(now);
    return a && b && std::abs(*a - *b) <= *tolerance;
}

}  // namespace

std::vector<std::string> golden_differences(const CsvTable& golden, const CsvTable& now,
                                            const Tolerances& tolerances) {
    if (golden.columns() != now.columns()) return {"the columns differ"};
    for (const auto& [name, tolerance] : tolerances) {
        bool known = false;
        for (const std::string& column : golden.columns()) known = known || column == name;
        if (!known) return {fmt::format("there is no column {} (tolerance {})", name, tolerance)};
    }
    std::vector<std::string> told;
    if (golden.rows().size() != now.rows().size()) {
        told.push_back(
            fmt::format("{} rows, golden has {}", now.rows().size(), golden.rows().size()));
    }
    const std::size_t rows = std::min(golden.rows().size(), now.rows().size());
    for (std::size_t r = 0; r < rows; ++r) {
        for (std::size_t c = 0; c < golden.columns().size(); ++c) {
            const std::string& column = golden.columns()[c];
            const auto found = tolerances.find(column);
            const auto tolerance =
                found != tolerances.end() ? std::optional(found->second) : std::nullopt;
            const std::string& was = golden.rows()[r][c];
            const std::string& is = now.rows()[r][c];
            if (agrees(was, is, tolerance) || told.size() >= kMostTold) continue;
            told.push_back(fmt::format("row {}, {}: {} where golden has {} (tolerance {})", r + 1,
                                       column, is, was, tolerance.value_or(0.0)));
        }
    }
    return told;
}

}  // namespace skedlark::support
