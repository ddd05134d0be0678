#include "dsp/bench/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/band.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kSpectrumS = 4.0;  // of the newest audio
constexpr double kFrameS = 0.25;    // lines 4 Hz apart
constexpr double kHannBins = 1.5;   // noise bandwidth of the window
constexpr double kFloorDbfs = -140.0;
constexpr double kMinuteFromS = 600.0;  // longer times are drawn in minutes

// Of a mean square; 0 dBFS is a sine of peak 1.0.
double dbfs(double power) { return db_from_power(std::max(2.0 * power, 1e-14)); }

// Change against the first measured point.
Picture change_picture(const PitchCurve& curve, const char* y_name, const char* name) {
    Picture picture{"s", y_name, {{name, DrawnAs::line, {}}}};
    const auto points = curve.points();
    double first = 0.0;
    bool any = false;
    const bool minutes = curve.length_s() > kMinuteFromS;
    if (minutes) picture.x_name = "min";
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (points[i].seconds == 0) continue;
        if (!any) first = points[i].pitch_hz;
        any = true;
        picture.curves[0].points.push_back(
            {curve.middle_s(i) / (minutes ? 60.0 : 1.0), points[i].pitch_hz - first});
    }
    picture.curves[0].points = thinned(picture.curves[0].points);
    return picture;
}

}  // namespace

bool Picture::empty() const {
    return std::all_of(curves.begin(), curves.end(),
                       [](const DrawnCurve& curve) { return curve.points.empty(); });
}

std::vector<DrawnPoint> thinned(const std::vector<DrawnPoint>& points, std::size_t most) {
    if (points.size() <= most || most < 2) return points;
    std::vector<DrawnPoint> kept;
    const std::size_t columns = most / 2;
    for (std::size_t c = 0; c < columns; ++c) {
        const auto from = points.begin() + static_cast<std::ptrdiff_t>(c * points.size() / columns);
        const auto to =
            points.begin() + static_cast<std::ptrdiff_t>((c + 1) * points.size() / columns);
        const auto [low, high] = std::minmax_element(
            from, to, [](const DrawnPoint& a, const DrawnPoint& b) { return a.y < b.y; });
        kept.push_back(*std::min(low, high));
        if (low != high) kept.push_back(*std::max(low, high));
    }
    return kept;
}

Picture spectrum_picture(std::span<const float> audio, double sample_rate_hz) {
    Picture picture{"Hz", "dBFS", {{"level of a line", DrawnAs::line, {}}}};
    const auto newest = static_cast<std::size_t>(kSpectrumS * sample_rate_hz);
    if (audio.size() > newest) audio = audio.last(newest);
    if (static_cast<double>(audio.size()) < 2.0 * kFrameS * sample_rate_hz) return picture;
    const auto spectrum = mean_periodogram(audio, sample_rate_hz, kFrameS);
    if (!spectrum) return picture;
    auto& points = picture.curves[0].points;
    for (std::size_t i = 1; i < spectrum->density.size(); ++i) {
        points.push_back(
            {static_cast<double>(i) * spectrum->bin_hz,
             std::max(kFloorDbfs, dbfs(spectrum->density[i] * spectrum->bin_hz * kHannBins))});
    }
    points = thinned(points);
    return picture;
}

Picture level_picture(std::span<const float> audio, double sample_rate_hz) {
    Picture picture{"s", "dBFS", {{"level", DrawnAs::line, {}}}};
    const auto block = std::max(static_cast<std::size_t>(0.01 * sample_rate_hz),
                                audio.size() / (2 * kMostDrawn) + 1);
    for (std::size_t at = 0; at + block <= audio.size(); at += block) {
        double power = 0.0;
        for (const float x : audio.subspan(at, block))
            power += static_cast<double>(x) * static_cast<double>(x);
        picture.curves[0].points.push_back(
            {static_cast<double>(at) / sample_rate_hz,
             std::max(kFloorDbfs, dbfs(power / static_cast<double>(block)))});
    }
    picture.curves[0].points = thinned(picture.curves[0].points);
    return picture;
}

Picture hum_picture(const HumFigures& figures) {
    Picture picture{"Hz", "dBFS", {{"lines of the supply", DrawnAs::bars, {}}}};
    for (const SupplyLine& line : figures.audio.lines)
        picture.curves[0].points.push_back({line.frequency_hz, dbfs(line.power)});
    return picture;
}

Picture series_picture(const Series& series) {
    Picture picture{"dBm", "(S+N)/N, dB", {}};
    for (const SeriesPoint& point : series.points) {
        DrawnCurve curve{
            point.mhz ? fmt::format("{:g} MHz", *point.mhz) : "(S+N)/N", DrawnAs::dots, {}};
        for (const SeriesStep& step : point.steps)
            curve.points.push_back({*step.step.dbm, step.ratio_db.value});
        picture.curves.push_back(std::move(curve));
    }
    return picture;
}

Picture response_picture(std::span<const ResponsePoint> points) {
    Picture picture{"Hz from zero beat", "dB", {{"response", DrawnAs::line, {}}}};
    double highest = -1e9;
    for (const ResponsePoint& p : points) highest = std::max(highest, p.level_db.value);
    for (const ResponsePoint& p : points)
        picture.curves[0].points.push_back({p.offset_hz, p.level_db.value - highest});
    auto& drawn = picture.curves[0].points;
    std::stable_sort(drawn.begin(), drawn.end(),
                     [](const DrawnPoint& a, const DrawnPoint& b) { return a.x < b.x; });
    drawn = thinned(drawn);
    return picture;
}

Picture contacts_picture(const Contacts& contacts) {
    Picture picture{"s",
                    "dB against the usual level",
                    {{"touched", DrawnAs::dots, {}}, {"not touched", DrawnAs::open_dots, {}}}};
    for (const ContactEvent& e : contacts.events) {
        const double db = e.kind == ContactKind::dropout ? -e.depth_db.value : e.depth_db.value;
        picture.curves[e.touched ? 0 : 1].points.push_back({e.at_s, db});
    }
    return picture;
}

// The main ringing of each tap falls by 20 lg e in its decay time.
Picture taps_picture(const Ring& ring) {
    constexpr double kDbPerDecay = 8.685889638065037;
    Picture picture{"ms after the tap", "dB over the noise", {}};
    for (const Tap& tap : ring.taps) {
        if (tap.modes.empty() || !(tap.over_noise_db > 0.0)) continue;
        const double decay_s = 1.0 / tap.modes.front().rate_per_s;
        picture.curves.push_back({fmt::format("tap at {:.1f} s", tap.at_s),
                                  DrawnAs::line,
                                  {{0.0, tap.over_noise_db},
                                   {1000.0 * decay_s * tap.over_noise_db / kDbPerDecay, 0.0}}});
    }
    return picture;
}

Picture drift_picture(const PitchCurve& curve) {
    return change_picture(curve, "Hz since the start", "pitch");
}

Picture run_down_picture(const PitchCurve& level) {
    return change_picture(level, "dB since the start", "level");
}

Picture dial_picture(const DialCheck& check) {
    Picture picture{
        "division",
        "divisions off",
        {{"off the chart", DrawnAs::dots, {}}, {"once corrected", DrawnAs::open_dots, {}}}};
    for (const CheckedPoint& p : check.points) {
        picture.curves[0].points.push_back({p.chart_div, p.error_div.value});
        picture.curves[1].points.push_back({p.chart_div, p.left_div.value});
    }
    return picture;
}

}  // namespace skedlark::bench
