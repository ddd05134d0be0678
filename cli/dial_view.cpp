#include "cli/dial_view.h"

#include <fmt/format.h>

#include <cmath>

namespace skedlark::cli {

namespace {

constexpr double kZ95 = 1.959963984540054;  // two-sided 95 % of a normal

std::string row(const std::string& label, const std::string& value) {
    return fmt::format("  {:<13}{}\n", label, value);
}

// Never 100: nothing is that sure.
std::string percent(double chance) {
    return chance > 0.999 ? "over 99.9 %" : fmt::format("{:.1f} %", 100.0 * chance);
}

std::string stretches_text(const dial::SearchPlan& search, double window_min) {
    if (search.stretches.empty()) {
        return row("window", fmt::format("{:g} min: too short for any stretch", window_min));
    }
    std::string text = fmt::format(
        "  in {:g} min the best is, as long as nothing is heard:\n"
        "     from       to  div a min   time s  chance so far\n",
        window_min);
    double left = 1.0;
    for (const dial::Stretch& s : search.stretches) {
        left *= 1.0 - s.chance;
        text += fmt::format("  {:>7.2f}  {:>7.2f}  {:>9.2f}  {:>7.0f}  {:>13}\n",
                            s.from_div - s.run_on_div, s.to_div + s.run_on_div, s.div_per_min,
                            s.seconds, percent(1.0 - left));
    }
    return text;
}

}  // namespace

std::string setting_text(const dial::Dial& dial, const SettingTold& told) {
    const dial::Setting& s = told.setting;
    const dial::SweepPlan& sweep = told.sweep;
    const double pitch = dial.receiver().audio.pitch_hz;
    std::string text =
        fmt::format("{:.4f} MHz, band {}, {}\n", s.mhz, dial.band().name, dial.receiver().name);
    text += row("set to", fmt::format("{:.2f} for zero beat, {:.2f} to hear it at {:.0f} Hz", s.div,
                                      s.listen_div, pitch));
    text += row("uncertainty", fmt::format("{:.2f} to {:.2f} (95 %), {:.1f} kHz to a division",
                                           s.low95_div, s.high95_div, s.khz_per_div));
    text += row("sweep", fmt::format("{:.1f} to {:.1f}; the station is inside with {}",
                                     sweep.low_div, sweep.high_div, percent(sweep.inside_chance)));
    if (sweep.sweep_min) {
        text +=
            row("speed", fmt::format("{:.2f} divisions a minute ({:.0f} Hz/s), notices {:.0f} %",
                                     *sweep.div_per_min, *sweep.rate_hz_per_s,
                                     100.0 * sweep.noticed_chance));
        text += row("time", fmt::format("{:.1f} min, with {:.2f} of a division run on at each end",
                                        *sweep.sweep_min, sweep.run_on_div));
    } else {
        text += row("speed", "too weak to be noticed with the chance wanted, at any speed;");
        text += row("", "rest at each step instead: skedlark sweep --step");
    }
    if (told.search) text += stretches_text(*told.search, told.window_min);
    return text;
}

std::string place_text(const dial::Dial& dial, double div) {
    const double sd_khz = 1000.0 * dial.mhz_sd(div);
    return fmt::format("division {:g}, band {}, {}\n", div, dial.band().name,
                       dial.receiver().name) +
           row("zero beat", fmt::format("{:.4f} MHz, {:.1f} kHz either way (95 %)",
                                        dial.mhz_at(div), kZ95 * sd_khz)) +
           row("scale", fmt::format("{:.1f} kHz to a division", dial.khz_per_div(div)));
}

std::string known_text(const dial::Dial& dial) {
    const dial::Correction& c = dial.correction();
    if (c.stations.empty()) return "";
    std::string text = row(
        "correction",
        fmt::format("{:+.2f} divisions{}", c.offset_div,
                    c.has_stretch ? fmt::format(", stretch {:+.2f} %", 100.0 * c.stretch) : ""));
    for (const dial::KnownFit& k : c.stations) {
        text += row("known", fmt::format("{:.4f} MHz at {:.2f}, chart {:.2f}, left {:+.2f}{}",
                                         k.station.mhz, k.station.div, k.chart_div, k.residual_div,
                                         k.fits ? "" : ", does not fit"));
    }
    if (!c.checked) text += row("", "too few known stations to tell whether one is wrong");
    return text;
}

std::string band_text(const dial::Dial& dial) {
    const dial::BandChart& chart = dial.chart();
    std::string text = fmt::format("band {}, {}\n", dial.band().name, dial.receiver().name);
    text += row("chart", fmt::format("{:.4g} to {:.4g} MHz over {:g} to {:g} divisions, {} points",
                                     chart.low_mhz(), chart.high_mhz(), chart.low_div(),
                                     chart.high_div(), dial.band().points.size()));
    text += row("scale", fmt::format("{:.1f} to {:.1f} kHz to a division",
                                     dial.khz_per_div(chart.low_div() + 0.5),
                                     dial.khz_per_div(chart.high_div() - 0.5)));
    text += row("uncertainty", fmt::format("chart {:.2f}, reading {:.2f} divisions (one standard "
                                           "deviation)",
                                           chart.chart_sd_div(), dial.receiver().reading_sd_div));
    text += known_text(dial);
    for (const dial::Setting& point : dial::check_points(dial)) {
        text += row("check point",
                    fmt::format("{:g} MHz, a standard frequency, at {:.2f}", point.mhz, point.div));
    }
    return text;
}

std::string measured_text(const dial::MeasuredChart& made) {
    std::string text = fmt::format(
        "band {}: {} pairs, chart within {:.2f} divisions (one standard "
        "deviation)\n",
        made.band.name, made.pairs.size(), made.chart_sd_div);
    text += "  division       MHz  off the others\n";
    for (const dial::PairFit& fit : made.pairs) {
        const std::string off =
            fit.residual_div ? fmt::format("{:+.2f}", *fit.residual_div) : "no neighbour";
        text += fmt::format("  {:>8.2f}  {:>8.4f}  {:>14}{}\n", fit.pair.div, fit.pair.mhz, off,
                            fit.fits ? "" : "  does not fit, left out");
    }
    return text;
}

}  // namespace skedlark::cli
