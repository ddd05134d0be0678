#include "dsp/tone/glide_settle.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace skedlark::tone {
namespace {

constexpr double kMostContrast = 0.75;
constexpr double kSameZeroBeatHz = 150.0;
// A broadcast's side bands reach so far from its carrier.
constexpr double kSideBandHz = 5000.0;
constexpr double kBroadcastLikeness = 4.0;
constexpr double kSideBandHz0 = 100.0;
constexpr double kSideBandHz1 = 2000.0;
constexpr std::size_t kFewestSides = 8;
constexpr double kMostSide = 30.0;  // of the noise: what is louder says no more
// Key clicks: so far under the station at 50 Hz from it, and so much less an octave further.
constexpr double kClicksDb = 22.0;
constexpr double kClicksPerOctaveDb = 9.0;
constexpr double kClicksReachHz = 400.0;
// Stations met within the same seconds are met at about the same pace.
constexpr double kSamePace = 0.45;  // of the logarithm

double power_of(const GlideLooks& looks, std::int64_t row, int rate, GlideWay way, int cell) {
    return GlideLooks::power_of_step(looks.row(row, rate, way)[static_cast<std::size_t>(cell)]);
}

}  // namespace

double glide_contrast(const GlideLooks& looks, const GlidePath& path) {
    double right = 0.0;
    double wrong = 0.0;
    for (const GlidePoint& point : path.points) {
        if (point.score <= 0.0F) continue;
        const int rate = std::min(point.rate / 2, looks.rates() - 1);
        const bool falling = point.cell > 0;
        const int cell = std::abs(point.cell);
        right +=
            power_of(looks, point.row, rate, falling ? GlideWay::falling : GlideWay::rising, cell) -
            1.0;
        wrong +=
            power_of(looks, point.row, rate, falling ? GlideWay::rising : GlideWay::falling, cell) -
            1.0;
    }
    return right > 0.0 ? wrong / right : 1.0;
}

double side_likeness(const GlideLooks& looks, const GlideTrack& track, double low_hz,
                     double high_hz) {
    double both = 0.0, above_squares = 0.0, below_squares = 0.0;
    long count = 0;
    const int rate = looks.rates() / 2;
    std::vector<double> above, below;
    for (std::int64_t row = looks.first_row(); row < looks.end_row(); ++row) {
        const double at_s = looks.row_centre_s(row);
        if (at_s < track.from_s() || at_s > track.to_s()) continue;
        const double pitch_hz = std::abs(track.pitch_hz(at_s));
        const GlideWay way = track.pitch_hz(at_s) > 0.0 ? GlideWay::falling : GlideWay::rising;
        // Not where the lower side is heard folded back on the other.
        const double reach_hz = std::min({kSideBandHz1, pitch_hz - low_hz, high_hz - pitch_hz});
        above.clear();
        below.clear();
        // Every other cell: neighbours overlap.
        for (double away_hz = kSideBandHz0; away_hz < reach_hz; away_hz += 2.0 * looks.cell_hz()) {
            const auto log_power = [&](double at_hz) {
                const int cell = static_cast<int>(std::lround(at_hz / looks.cell_hz()));
                return std::min(kMostSide,
                                power_of(looks, row, rate, way, std::min(cell, looks.cells() - 1)));
            };
            above.push_back(log_power(pitch_hz + away_hz));
            below.push_back(log_power(pitch_hz - away_hz));
        }
        if (above.size() < kFewestSides) continue;
        const auto size = static_cast<double>(above.size());
        const double above_mean = std::accumulate(above.begin(), above.end(), 0.0) / size;
        const double below_mean = std::accumulate(below.begin(), below.end(), 0.0) / size;
        for (std::size_t n = 0; n < above.size(); ++n) {
            both += (above[n] - above_mean) * (below[n] - below_mean);
            above_squares += std::pow(above[n] - above_mean, 2.0);
            below_squares += std::pow(below[n] - below_mean, 2.0);
        }
        count += static_cast<long>(above.size()) - 1;
    }
    if (count == 0) return 0.0;
    return both / std::sqrt(above_squares * below_squares) * std::sqrt(static_cast<double>(count));
}

bool GlideSettle::stands(const GlideFind& find) const {
    if (find.contrast > kMostContrast) return false;
    const double at_s = find.station.zero_beat_s;
    for (const GlideFind& clear : finds_) {
        const double apart_s = std::abs(at_s - clear.station.zero_beat_s);
        const double apart_hz = apart_s * clear.station.rate_hz_per_s;
        const double weaker_db = clear.station.snr_2500hz_db - find.station.snr_2500hz_db;
        if (apart_hz < kSameZeroBeatHz) return false;
        if (clear.station.broadcast && apart_hz < kSideBandHz && weaker_db > 3.0) return false;
        if (apart_hz < kClicksReachHz) {
            const double octaves = std::log2(std::max(1.0, apart_hz / 50.0));
            if (weaker_db > kClicksDb + kClicksPerOctaveDb * octaves) return false;
        }
        const bool together = apart_hz < 2.0 * high_hz_;
        const double pace =
            std::abs(std::log(find.station.rate_hz_per_s / clear.station.rate_hz_per_s));
        if (together && pace > kSamePace) return false;
    }
    return find.track.pitch_hz(find.station.from_s) > low_hz_ ||
           find.track.pitch_hz(find.station.to_s) < -low_hz_;
}

void GlideSettle::add(const GlideFind& find) {
    if (!stands(find)) return;
    finds_.push_back(find);
    GlideStation& station = finds_.back().station;
    if (!station.keyed.value_or(false) && find.side_likeness > kBroadcastLikeness) {
        station.broadcast = true;
        station.keyed = false;
    }
}

std::vector<GlideStation> GlideSettle::stations() const {
    std::vector<GlideStation> out;
    for (const GlideFind& find : finds_) out.push_back(find.station);
    std::sort(out.begin(), out.end(), [](const GlideStation& a, const GlideStation& b) {
        return a.zero_beat_s < b.zero_beat_s;
    });
    return out;
}

}  // namespace skedlark::tone
