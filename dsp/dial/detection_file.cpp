#include <fmt/format.h>

#include <array>
#include <charconv>
#include <optional>

#include "dsp/core/text_file.h"
#include "dsp/dial/detection.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr std::array<std::string_view, 3> kColumns{"rate_hz_per_s", "snr_2500hz_db", "chance"};

std::vector<std::string_view> cells_of(std::string_view line) {
    std::vector<std::string_view> cells;
    for (;;) {
        const std::size_t comma = line.find(',');
        std::string_view cell = line.substr(0, comma);
        while (!cell.empty() && (cell.front() == ' ' || cell.front() == '"')) cell.remove_prefix(1);
        while (!cell.empty() && (cell.back() == ' ' || cell.back() == '"')) cell.remove_suffix(1);
        cells.push_back(cell);
        if (comma == std::string_view::npos) return cells;
        line.remove_prefix(comma + 1);
    }
}

std::optional<double> number(std::string_view text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

// Where each of our columns stands.
using Places = std::array<std::size_t, kColumns.size()>;

std::optional<Places> places_of(const std::vector<std::string_view>& header) {
    Places places{};
    for (std::size_t i = 0; i < kColumns.size(); ++i) {
        while (places[i] < header.size() && header[places[i]] != kColumns[i]) ++places[i];
        if (places[i] == header.size()) return std::nullopt;
    }
    return places;
}

std::optional<MeasuredChance> point_of(std::string_view line, const Places& places) {
    const auto cells = cells_of(line);
    std::array<double, kColumns.size()> values{};
    for (std::size_t i = 0; i < kColumns.size(); ++i) {
        if (places[i] >= cells.size()) return std::nullopt;
        const auto value = number(cells[places[i]]);
        if (!value) return std::nullopt;
        values[i] = *value;
    }
    return MeasuredChance{values[0], values[1], values[2]};
}

}  // namespace

Result<DetectionModel> parse_detection(std::string_view csv, const std::string& name) {
    std::optional<Places> places;
    std::vector<MeasuredChance> points;
    for (int at = 1; !csv.empty(); ++at) {
        const std::size_t end = std::min(csv.find('\n'), csv.size());
        std::string_view line = csv.substr(0, end);
        csv.remove_prefix(std::min(end + 1, csv.size()));
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        if (line.empty() || line.front() == '#') continue;
        if (!places) {
            places = places_of(cells_of(line));
            if (places) continue;
            return Error{ErrorCode::damaged,
                         fmt::format("{}:{}: the first line must name the columns rate_hz_per_s, "
                                     "snr_2500hz_db and chance",
                                     name, at)};
        }
        const auto point = point_of(line, *places);
        if (!point) {
            return Error{ErrorCode::damaged,
                         fmt::format("{}:{}: '{}' holds no three numbers for rate_hz_per_s, "
                                     "snr_2500hz_db and chance",
                                     name, at, line.substr(0, 60))};
        }
        points.push_back(*point);
    }
    Result<DetectionModel> model = DetectionModel::measured(std::move(points));
    if (!model) return Error{model.error().code, name + ": " + model.error().message};
    return model;
}

Result<DetectionModel> read_detection(const std::string& path) {
    const Result<std::string> text = read_text_file(path, kMaxBytes);
    if (!text) return text.error();
    return parse_detection(*text, path);
}

}  // namespace skedlark::dial
