#include "gui/plan/chart_model.h"

#include <fmt/format.h>

#include <algorithm>

#include "dsp/core/csv.h"
#include "dsp/station/dial_lookup.h"

namespace skedlark::gui {

namespace {

constexpr double kSds95 = 1.959964;

std::string correction_words(const dial::Correction& correction) {
    if (correction.stations.empty()) {
        return "no known station: the chart is taken as it stands";
    }
    std::string text = fmt::format("the dial reads {:+.2f} divisions off the chart in the middle",
                                   correction.offset_div);
    if (correction.has_stretch)
        text += fmt::format(", stretched by {:+.2f} %", 100.0 * correction.stretch);
    const auto out = std::count_if(correction.stations.begin(), correction.stations.end(),
                                   [](const dial::KnownFit& fit) { return !fit.fits; });
    if (out > 0) return text + fmt::format("; {} known station(s) left out: not fitting", out);
    return text + (correction.checked ? "" : "; one more known station would check it");
}

void add_lines(const dial::Dial& dial, std::size_t count, ChartPicture& picture) {
    const dial::Correction& correction = dial.correction();
    const double low = correction.dial_div(dial.chart().low_div());
    const double high = correction.dial_div(dial.chart().high_div());
    for (std::size_t i = 0; i < count; ++i) {
        const double div =
            low + (high - low) * static_cast<double>(i) / static_cast<double>(count - 1);
        const double off = div - correction.chart_div(div);
        const double reach = kSds95 * dial.sd_div(div);
        picture.curve.push_back({div, dial.mhz_at(div)});
        picture.correction.push_back({div, off});
        picture.low95.push_back({div, off - reach});
        picture.high95.push_back({div, off + reach});
    }
}

void add_points(const dial::Dial& dial, ChartPicture& picture) {
    const auto& points = dial.band().points;
    const auto& residuals = dial.chart().residuals_div();
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double div = dial.correction().dial_div(points[i].div);
        picture.points.push_back({div, points[i].mhz});
        if (residuals[i]) picture.residuals.push_back({div, div - points[i].div + *residuals[i]});
    }
    for (const dial::KnownFit& fit : dial.correction().stations) {
        auto& list = fit.fits ? picture.known : picture.left_out;
        list.push_back({fit.station.div, fit.station.div - fit.chart_div});
    }
}

}  // namespace

ChartPicture chart_picture(const dial::Receiver& receiver, const std::string& band,
                           const std::vector<dial::KnownStation>& known, std::size_t count) {
    ChartPicture picture;
    const auto here = station::known_in(receiver, band, known);
    const auto dial = dial::Dial::create(receiver, band, here);
    if (!dial) {
        picture.problem = dial.error().message;
        return picture;
    }
    add_lines(*dial, std::max<std::size_t>(count, 2), picture);
    add_points(*dial, picture);
    picture.words = correction_words(dial->correction());
    return picture;
}

Result<dial::KnownStation> read_known(std::string_view text) {
    const std::size_t between = text.find_first_of("= ");
    if (between != std::string_view::npos) {
        const auto mhz = csv::number(text.substr(0, between));
        std::string_view rest = text.substr(between + 1);
        rest.remove_prefix(std::min(rest.find_first_not_of(' '), rest.size()));
        const auto div = csv::number(rest);
        if (mhz && div) return dial::KnownStation{*mhz, *div};
    }
    return Error{ErrorCode::invalid_value,
                 fmt::format("'{}' is not a known station; allowed: MHz=division, such as 5=57.2",
                             text.substr(0, 60))};
}

}  // namespace skedlark::gui
