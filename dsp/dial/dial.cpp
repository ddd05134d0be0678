#include "dsp/dial/dial.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::dial {
namespace {

constexpr double kZ95 = 1.959963984540054;  // two-sided 95 % of a normal

}  // namespace

Result<Dial> Dial::create(const Receiver& receiver, const std::string& band,
                          std::span<const KnownStation> known) {
    if (Status s = check(receiver); !s) return s.error();
    const auto found = std::find_if(receiver.bands.begin(), receiver.bands.end(),
                                    [&](const Band& b) { return b.name == band; });
    if (found == receiver.bands.end()) {
        return Error{ErrorCode::not_found, fmt::format("band '{}' is not there; bands: {}", band,
                                                       bands_in_words(receiver))};
    }
    Result<BandChart> chart = BandChart::create(*found);
    if (!chart) return chart.error();
    Result<Correction> correction = fit_correction(receiver, *chart, known);
    if (!correction) return correction.error();
    return Dial(receiver, static_cast<std::size_t>(found - receiver.bands.begin()),
                *std::move(chart), *std::move(correction));
}

Dial::Dial(const Receiver& receiver, std::size_t band, BandChart chart, Correction correction)
    : receiver_(receiver),
      band_(band),
      chart_(std::move(chart)),
      correction_(std::move(correction)) {}

double Dial::div_of(double mhz) const {
    const double charted_mhz = mhz - 1e-6 * receiver_.beat.zero_beat_offset_hz;
    return correction_.dial_div(chart_.div_at(charted_mhz));
}

double Dial::mhz_at(double div) const {
    return chart_.mhz_at(correction_.chart_div(div)) + 1e-6 * receiver_.beat.zero_beat_offset_hz;
}

double Dial::khz_per_div(double div) const {
    return 1000.0 * std::abs(mhz_at(div + 0.5) - mhz_at(div - 0.5));
}

double Dial::sd_div(double div) const {
    const double reading = receiver_.reading_sd_div;
    const double chart = chart_.chart_sd_div();
    return std::sqrt(reading * reading + chart * chart +
                     correction_.variance(correction_.chart_div(div)));
}

double Dial::mhz_sd(double div) const { return 1e-3 * khz_per_div(div) * sd_div(div); }

Result<Setting> Dial::setting(double mhz) const {
    if (!(mhz >= chart_.low_mhz() && mhz <= chart_.high_mhz())) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{} MHz lies outside the chart of band \"{}\", {} to {} MHz; "
                                 "bands: {}",
                                 mhz, band().name, chart_.low_mhz(), chart_.high_mhz(),
                                 bands_in_words(receiver_))};
    }
    Setting setting;
    setting.mhz = mhz;
    setting.div = div_of(mhz);
    const double side = receiver_.beat.listen == ListenSide::above ? 1.0 : -1.0;
    setting.listen_div = div_of(mhz - side * 1e-6 * receiver_.audio.pitch_hz);
    setting.sd_div = sd_div(setting.div);
    setting.low95_div = setting.div - kZ95 * setting.sd_div;
    setting.high95_div = setting.div + kZ95 * setting.sd_div;
    setting.khz_per_div = khz_per_div(setting.div);
    return setting;
}

Result<std::vector<std::string>> bands_with(const Receiver& receiver, double mhz) {
    std::vector<std::pair<double, std::string>> found;
    for (const Band& band : receiver.bands) {
        const Result<BandChart> chart = BandChart::create(band);
        if (!chart) return chart.error();
        if (mhz >= chart->low_mhz() && mhz <= chart->high_mhz()) {
            found.emplace_back(chart->khz_per_div(chart->div_at(mhz)), band.name);
        }
    }
    if (found.empty()) {
        return Error{ErrorCode::not_found, fmt::format("{} MHz lies outside every band; bands: {}",
                                                       mhz, bands_in_words(receiver))};
    }
    std::sort(found.begin(), found.end());
    std::vector<std::string> names;
    for (const auto& [khz, name] : found) names.push_back(name);
    return names;
}

std::vector<Setting> check_points(const Dial& dial) {
    std::vector<Setting> points;
    for (const double mhz : kStandardFrequenciesMhz) {
        if (const Result<Setting> setting = dial.setting(mhz)) points.push_back(*setting);
    }
    return points;
}

}  // namespace skedlark::dial
