#include "dsp/bench/event_reports.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::bench {
namespace {

void add(Report& report, const char* name, const Figure& figure, std::string what,
         std::string at = {}) {
    report.measurements.push_back({name, figure, Known::value, std::move(what), std::move(at)});
}
void add_if(Report& report, const char* name, const std::optional<Figure>& figure, std::string what,
            std::string at = {}) {
    if (figure) add(report, name, *figure, std::move(what), std::move(at));
}

// Events a minute; none seen is a bound.
void add_rate(Report& report, const char* name, const EventRate& rate, std::string what) {
    if (!(rate.seconds > 0.0)) return;
    const double per_min = 60.0 * rate.per_s;
    if (rate.count == 0) {
        report.measurements.push_back(
            {name, {60.0 * rate.high_per_s, 0.0}, Known::at_most, std::move(what), {}});
        return;
    }
    add(report, name,
        {per_min, std::max(60.0 * rate.high_per_s - per_min, per_min - 60.0 * rate.low_per_s)},
        std::move(what));
}

void say_ratio(Report& report, const char* kind, const ContactRates& rates) {
    if (!(rates.touched.seconds > 0.0 && rates.at_rest.seconds > 0.0)) return;
    if (rates.touched.count + rates.at_rest.count == 0) return;
    report.remarks.push_back(
        fmt::format("{}: {} in {:.0f} s touched, {} in {:.0f} s at rest; {} (chance {:.2g} if "
                    "touching did nothing).",
                    kind, rates.touched.count, rates.touched.seconds, rates.at_rest.count,
                    rates.at_rest.seconds,
                    rates.ratio.raised() ? "more when touched" : "not clearly more when touched",
                    std::max(rates.ratio.chance, 1e-12)));
}

const char* word(Supply supply) {
    switch (supply) {
        case Supply::low:
            return "low";
        case Supply::high:
            return "high";
        case Supply::normal:
            break;
    }
    return "normal";
}

// The measured stretches of a curve, in minutes.
Curve over_time(const PitchCurve& measured, const char* name, const char* what,
                const char* y_name) {
    Curve curve{name, what, "time_min", y_name, {}};
    for (std::size_t i = 0; i < measured.points().size(); ++i) {
        const CurvePoint& p = measured.points()[i];
        if (p.seconds == 0) continue;
        curve.rows.push_back({measured.middle_s(i) / 60.0, p.pitch_hz, expanded_95(p.sd_hz)});
    }
    return thinned(std::move(curve));
}

Curve response(const Passband& band) {
    Curve curve{"response", "level under the highest point", "offset_hz", "level_db", {}};
    for (const ResponsePoint& p : band.points) {
        curve.rows.push_back(
            {p.offset_hz, p.level_db.value - band.peak_db, p.level_db.uncertainty_95});
    }
    return thinned(std::move(curve));
}

}  // namespace

Report contacts_report(const Contacts& contacts) {
    Report report;
    add_rate(report, "dropouts_touched_per_min", contacts.dropouts.touched,
             "dropouts while touched");
    add_rate(report, "dropouts_at_rest_per_min", contacts.dropouts.at_rest, "dropouts at rest");
    add_rate(report, "crackles_touched_per_min", contacts.crackles.touched,
             "crackle while touched");
    add_rate(report, "crackles_at_rest_per_min", contacts.crackles.at_rest, "crackle at rest");
    for (const ContactEvent& e : contacts.events) {
        const bool dropout = e.kind == ContactKind::dropout;
        report.occurrences.push_back(
            {dropout ? "dropout" : "crackle", e.at_s, e.length_s, e.depth_db.value,
             fmt::format("{} of {:.1f} dB (+- {:.1f})", dropout ? "a fall" : "a rise",
                         e.depth_db.value, e.depth_db.uncertainty_95)});
    }
    say_ratio(report, "Dropouts", contacts.dropouts);
    say_ratio(report, "Crackle", contacts.crackles);
    std::string noticed;
    for (const NoticedDepth& n : contacts.noticed) {
        const double ms = 1000.0 * n.length_s;
        if (std::abs(ms - 2.0) > 0.1 && std::abs(ms - 8.0) > 0.1 && std::abs(ms - 32.0) > 0.2)
            continue;
        noticed +=
            fmt::format("{}{:.0f} dB at {:.0f} ms", noticed.empty() ? "" : ", ", n.depth_db, ms);
    }
    report.remarks.push_back(fmt::format(
        "{}; noticed 99 times in 100 is a dropout of {}.",
        contacts.in_tone ? fmt::format("Heard in a tone near {:.0f} Hz, {:.0f} dB over the noise",
                                       contacts.pitch_hz, contacts.tone_over_noise_db)
                         : fmt::format("Heard in noise {:.0f} Hz wide", contacts.noise_width_hz),
        noticed));
    if (contacts.noise_swing_db > 0.0) {
        report.remarks.push_back(
            fmt::format("The noise swings by itself by {:.1f} dB, as noise of the air does: take "
                        "the aerial off, or only deep dropouts can be told.",
                        contacts.noise_swing_db));
    }
    return report;
}

Report drift_report(const Drift& drift, const DriftConfig& config) {
    Report report;
    add(report, "pitch_at_start_hz", drift.pitch_at_start_hz, "pitch at the start");
    add(report, "pitch_at_end_hz", drift.pitch_at_end_hz, "pitch at the end");
    add(report, "total_drift_hz", drift.total_drift_hz, "drift from start to end");
    if (drift.settled_s) {
        add(report, "settled_min",
            {drift.settled_s->value / 60.0, drift.settled_s->uncertainty_95 / 60.0},
            fmt::format("until it stays within {:g} Hz in any {:g} s", config.within_hz,
                        config.for_s));
    } else {
        report.remarks.push_back(
            fmt::format("It does not settle within {:g} Hz for {:g} s in this recording.",
                        config.within_hz, config.for_s));
    }
    add(report, "most_in_stretch_hz", drift.most_in_stretch_hz,
        fmt::format("largest span in {:g} s, second half", config.for_s));
    for (const Wander& w : drift.wander)
        add(report, "wander_hz", w.rms_change_hz, "change from one stretch to the next",
            fmt::format("{:g} s", w.over_s));
    add(report, "jumps", {static_cast<double>(drift.jumps.size()), 0.0}, "jumps of the pitch");
    for (const SupplyEffect& e : drift.supply) {
        const std::string at = fmt::format("{} at {:g} s", word(e.mark.supply), e.mark.at_s);
        add_if(report, "supply_prompt_hz", e.prompt_hz, "change at once with the supply", at);
        add_if(report, "supply_settled_hz", e.settled_hz, "change by the end of that supply", at);
    }
    for (const Retrace& r : drift.retraces) {
        add(report, "retrace_hz", r.change_hz, "change after off and on again",
            fmt::format("{:.0f} s after on", r.after_on_s));
    }
    for (const PitchJump& j : drift.jumps) {
        report.occurrences.push_back({"jump",
                                      j.at_s,
                                      1.0,
                                      {},
                                      fmt::format("pitch jumps by {:+.2f} Hz (+- {:.2f})",
                                                  j.step_hz.value, j.step_hz.uncertainty_95)});
    }
    for (const std::string& remark : drift.remarks) report.remarks.push_back(remark + ".");
    report.curves.push_back(over_time(drift.curve, "pitch", "pitch against time", "pitch_hz"));
    return report;
}

Report ring_report(const Ring& ring) {
    Report report;
    add(report, "taps", {static_cast<double>(ring.taps.size()), 0.0}, "taps heard");
    add(report, "ringing_taps", {static_cast<double>(ring.ringing), 0.0},
        "taps after which it rings alike");
    add_if(report, "ring_hz", ring.frequency_hz, "pitch of the ringing");
    if (ring.decay_s)
        add(report, "decay_ms",
            {1000.0 * ring.decay_s->value, 1000.0 * ring.decay_s->uncertainty_95},
            "time in which it falls to 1/e");
    add_if(report, "ring_over_noise_db", ring.over_noise_db, "ringing over the noise");
    for (const Tap& tap : ring.taps) {
        std::string said = tap.clipped         ? "clipped: not measured"
                           : tap.modes.empty() ? "a thump that does not ring"
                                               : "rings at";
        for (const DampedMode& m : tap.modes)
            said += fmt::format(" {:.1f} Hz ({:.0f} ms)", m.hz, 1000.0 / m.rate_per_s);
        const double length_s = tap.modes.empty() ? 0.0 : 1.0 / tap.modes.front().rate_per_s;
        report.occurrences.push_back({"tap", tap.at_s, length_s, {}, said});
    }
    if (!ring.frequency_hz) report.remarks.push_back("No tap rings clearly over the noise.");
    return report;
}

Report passband_report(const Passband& band, const PassbandConfig& config) {
    Report report;
    add_if(report, "width_6db_hz", band.at_6_db.width_hz, "width at 6 dB");
    add_if(report, "low_6db_hz", band.at_6_db.low_hz, "lower edge at 6 dB, from zero beat");
    add_if(report, "high_6db_hz", band.at_6_db.high_hz, "upper edge at 6 dB, from zero beat");
    add_if(report, "width_60db_hz", band.at_60_db.width_hz, "width at 60 dB");
    add_if(report, "shape_factor", band.shape_factor, "width at 60 dB over that at 6 dB");
    add_if(report, "noise_bandwidth_hz", band.noise_bandwidth_hz, "noise bandwidth");
    add_if(report, "centre_hz", band.centre_hz, "middle of the filter from zero beat");
    add_if(report, "side_ratio_db", band.side_ratio_db,
           fmt::format("above over below zero beat at {:g} Hz", config.listening_hz));
    for (const Pulling& p : band.pulling) {
        add(report, "pulling_hz", {p.shift_hz, 0.5},
            fmt::format("pull of zero beat, {:g} to {:g} dB", p.from_db, p.to_db),
            fmt::format("{:g} kHz", 0.001 * p.generator_hz));
    }
    report.remarks.push_back(
        fmt::format("The points reach {:.1f} dB down on the lesser side.", band.deepest_db));
    for (const std::string& remark : band.remarks) report.remarks.push_back(remark + ".");
    report.curves.push_back(response(band));
    return report;
}

Report dial_report(const DialCheck& check, const DialCheckConfig& config) {
    Report report;
    for (const CheckedPoint& p : check.points) {
        add(report, "error_div", p.error_div,
            fmt::format("off the chart; {:+.1f} kHz; {:+.2f} once corrected{}", p.error_khz,
                        p.left_div.value, p.fits ? "" : "; does not fit"),
            fmt::format("{:g} MHz", p.point.mhz));
    }
    add(report, "largest_error_div", {check.largest_div, 0.0}, "largest error of the chart");
    add(report, "largest_left_div", {check.largest_left_div, 0.0}, "largest error once corrected");
    add(report, "offset_div", check.offset_div, "offset of the dial");
    if (check.stretch)
        add(report, "stretch_percent",
            {100.0 * check.stretch->value, 100.0 * check.stretch->uncertainty_95},
            "stretch of the dial");
    add_if(report, "backlash_div", check.backlash_div, "backlash, from above less from below");
    report.remarks.push_back(fmt::format("The chart {} within {:g} divisions; corrected it {}.",
                                         check.within ? "holds" : "does not hold",
                                         config.within_div,
                                         check.within_once_corrected ? "does" : "does not"));
    return report;
}

Report run_down_report(const RunDown& run, const RunDownConfig& config) {
    Report report;
    add(report, "level_at_start_dbfs", run.first_level_dbfs, "level in the first minutes");
    const auto minutes = [](const Figure& s) {
        return Figure{s.value / 60.0, s.uncertainty_95 / 60.0};
    };
    if (run.fallen_at_s) {
        add(report, "fallen_min", minutes(*run.fallen_at_s),
            fmt::format("until the level stays {:g} dB down", config.fallen_db));
    } else {
        report.remarks.push_back(
            fmt::format("The level never stayed {:g} dB down.", config.fallen_db));
    }
    if (run.failed_at_s) {
        add(report, "failed_min", minutes(*run.failed_at_s), "until the set failed");
    } else {
        report.measurements.push_back({"failed_min",
                                       {run.length_s / 60.0, 0.0},
                                       Known::at_least,
                                       "until the set failed",
                                       {}});
    }
    add(report, "last_level_db", {run.last_level_db, 0.0},
        "level when last heard, against the start");
    add(report, "last_pitch_change_hz", {run.last_pitch_change_hz, 0.0},
        "pitch when last heard, against the start");
    report.curves.push_back(over_time(run.level, "level", "level against time", "level_dbfs"));
    report.curves.push_back(over_time(run.pitch, "pitch", "pitch against time", "pitch_hz"));
    return report;
}

}  // namespace skedlark::bench
