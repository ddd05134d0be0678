#include <fmt/format.h>

#include <array>
#include <optional>

#include "dsp/core/csv.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/detection.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr std::array<std::string_view, 3> kColumns{"rate_hz_per_s", "snr_2500hz_db", "chance"};

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
    const auto cells = csv::fields_of(line);
    std::array<double, kColumns.size()> values{};
    for (std::size_t i = 0; i < kColumns.size(); ++i) {
        if (places[i] >= cells.size()) return std::nullopt;
        const auto value = csv::number(cells[places[i]]);
        if (!value) return std::nullopt;
        values[i] = *value;
    }
    return MeasuredChance{values[0], values[1], values[2]};
}

}  // namespace

Result<DetectionModel> parse_detection(std::string_view text, const std::string& name) {
    std::optional<Places> places;
    std::vector<MeasuredChance> points;
    const Status read = csv::each_line(text, [&](std::string_view line, int at) -> Status {
        if (!places) {
            places = places_of(csv::fields_of(line));
            if (places) return Done{};
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
        return Done{};
    });
    if (!read) return read.error();
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
