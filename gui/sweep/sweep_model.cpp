#include "gui/sweep/sweep_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr double kFlashS = 0.35;  // how long a division is shown as passed

std::string clock_of(double seconds) {
    const auto whole = static_cast<long>(std::floor(std::max(seconds, 0.0)));
    return fmt::format("{}:{:02d}", whole / 60, whole % 60);
}

std::string odds_words(double odds) {
    if (!(odds > 0.0)) return "none";
    if (odds >= 0.5) return "even";
    if (odds < 1e-4) return "under 1 in 10000";
    return fmt::format("1 in {:.0f}", std::round(1.0 / odds));
}

// Divisions a second at which the dial should be moving.
double pace_div_per_s(const SweepState& state, const SweepSetup& setup) {
    if (!state.whole_s || !(*state.whole_s > 0.0)) return 0.0;
    return std::abs(setup.to_div - setup.from_div) / *state.whole_s;
}

bool passes_division(double div, double pace_div_per_s, double way) {
    const double since = way > 0.0 ? div - std::floor(div) : std::ceil(div) - div;
    return since <= std::min(0.5, pace_div_per_s * kFlashS);
}

PaceView marked_view(const SweepState& state) {
    PaceView view;
    view.beside = clock_of(state.heard_s);
    if (!state.next_mark_div) return view;
    view.figures = fmt::format("{:g}", *state.next_mark_div);
    view.words = "press space as the dial passes";
    if (state.marked_div_per_min)
        view.beside += fmt::format(", {:.1f} div/min", *state.marked_div_per_min);
    return view;
}

}  // namespace

PaceView pace_view(const SweepState& state, const SweepSetup& setup) {
    PaceView view;
    switch (state.phase) {
        case SweepPhase::waiting:
            view.words = "set the dial";
            view.figures = fmt::format("{:.2f}", setup.from_div);
            return view;
        case SweepPhase::counting_in:
            view.words = fmt::format("dial at {:.2f}, starts in", setup.from_div);
            view.figures = fmt::format("{:.0f}", std::ceil(state.count_in_left_s));
            return view;
        case SweepPhase::over:
            view.shape = PaceShape::done;
            view.words = "sweep over";
            view.figures = state.dial_div ? fmt::format("{:.1f}", *state.dial_div) : "";
            view.beside = clock_of(state.heard_s);
            return view;
        case SweepPhase::turning:
            break;
    }
    if (setup.way == DialWay::marked) return marked_view(state);
    const double div = state.dial_div.value_or(setup.from_div);
    view.beside = fmt::format("{} of {}", clock_of(state.heard_s),
                              clock_of(state.whole_s.value_or(state.heard_s)));
    if (setup.way == DialWay::stepped) {
        view.figures = fmt::format("{:.2f}", div);
        view.shape = state.resting ? PaceShape::rest : PaceShape::filled;
        view.words = state.resting
                         ? fmt::format("rest here, {:.0f} s more", std::ceil(state.change_in_s))
                         : "turn on to";
        return view;
    }
    view.figures = fmt::format("{:.1f}", div);
    view.words = "the dial should be here";
    const double way = setup.to_div > setup.from_div ? 1.0 : -1.0;
    if (passes_division(div, pace_div_per_s(state, setup), way)) view.shape = PaceShape::filled;
    return view;
}

std::string kind_of(const watch::SweepStation& station) {
    if (station.broadcast) return "broadcast";
    if (!station.keyed) return "unknown";
    return *station.keyed ? "keyed" : "steady";
}

std::vector<StationRow> station_rows(const SweepState& state) {
    std::vector<StationRow> rows;
    for (const watch::SweepStation& station : state.stations) {
        StationRow& row = rows.emplace_back();
        row.number = fmt::format("{}", rows.size());
        row.div = fmt::format("{:.2f}", station.div);
        row.interval = fmt::format("{:.2f} to {:.2f}", station.low95_div, station.high95_div);
        row.mhz = fmt::format("{:.4f}", station.mhz);
        row.kind = kind_of(station);
        row.snr_db = fmt::format("{:+.0f}", station.snr_2500hz_db);
        row.odds = odds_words(station.false_alarm_odds);
        const auto& call = station.expected_call ? station.expected_call : station.other_call;
        if (call) row.call = fmt::format("{} {:.0f} %", call->call, 100.0 * call->confidence);
        row.best = state.go_back && *state.go_back + 1 == rows.size();
        row.at_div = station.div;
    }
    return rows;
}

std::string in_words(const StationRow& row) {
    std::string text = fmt::format("Station {} at {}, with 95 % {}; {} MHz, {}, {} dB", row.number,
                                   row.div, row.interval, row.mhz, row.kind, row.snr_db);
    if (!row.call.empty()) text += ", call " + row.call;
    return row.best ? text + "; best to go back to" : text;
}

std::string next_words(const SweepState& state, const dial::Dial& dial) {
    if (state.phase != SweepPhase::over) return "";
    if (!state.map) return "No wanted frequency: no map, and no next stretch to advise.";
    if (!state.next) return "No further stretch would gain anything.";
    const dial::Stretch& next = *state.next;
    const double rate = khz_per_s(dial, 0.5 * (next.from_div + next.to_div), next.div_per_min);
    return fmt::format(
        "Sweep next: {:.2f} to {:.2f} at {:.2f} kHz/s ({:.1f} div/min), {:.0f} s. Finds it in "
        "{:.0f} "
        "of 100.",
        next.from_div - next.run_on_div, next.to_div + next.run_on_div, rate, next.div_per_min,
        next.seconds, 100.0 * next.chance);
}

std::string map_words(const SweepState& state) {
    if (!state.map) return "";
    const MapShown& map = *state.map;
    return fmt::format(
        "Likeliest at {:.2f}, with 95 % from {:.2f} to {:.2f}. {} so far, found by now in {:.0f} "
        "of "
        "100.",
        map.place.likeliest_div, map.place.low_div, map.place.high_div,
        map.passes == 0   ? std::string("No pass")
        : map.passes == 1 ? std::string("1 pass")
                          : fmt::format("{} passes", map.passes),
        100.0 * map.chance_so_far);
}

std::string state_words(const SweepState& state, const SweepSetup& setup) {
    if (!state.failure.empty()) return state.failure;
    const std::string met = state.stations.empty() ? "no station met yet"
                            : state.stations.size() == 1
                                ? "1 station met"
                                : fmt::format("{} stations met", state.stations.size());
    switch (state.phase) {
        case SweepPhase::waiting:
            return "Waiting for the input.";
        case SweepPhase::counting_in:
            return fmt::format("Counting in: dial to {:.2f}.", setup.from_div);
        case SweepPhase::turning:
            return (setup.way == DialWay::marked && state.marks == 0
                        ? fmt::format("Marking: space as the dial passes {:g}.", setup.from_div)
                        : fmt::format("Sweeping: {}.", met)) +
                   (state.lost_audio ? " Some audio was lost." : "");
        case SweepPhase::over:
            break;
    }
    if (setup.way == DialWay::marked && state.marks < 2)
        return "Over: fewer than two marks, so nothing can be placed on the dial.";
    if (state.stations.empty()) return "Over: no station met.";
    return fmt::format("Over: {}.{}", met,
                       state.go_back ? fmt::format(" Best to go back to: {}.", *state.go_back + 1)
                                     : " None is worth going back to.");
}

ZeroInView zero_in_view(const ZeroInState& state) {
    ZeroInView view;
    if (state.call)
        view.note = fmt::format("{} copied, {:.0f} % sure", state.call->call,
                                100.0 * state.call->confidence);
    if (!state.advice) {
        view.action = "turn slowly";
        view.figure = fmt::format("near {:.2f}", state.near_div);
        view.pitch = fmt::format("nothing heard, wanted {:.0f} Hz", state.wanted_hz);
        if (state.ended) view.note = "the input has ended";
        return view;
    }
    const dial::ZeroInAdvice& advice = *state.advice;
    view.pitch = fmt::format("{:.0f} Hz, wanted {:.0f}", advice.pitch_hz, state.wanted_hz);
    if (advice.turn == dial::Turn::here) {
        view.action = "there";
        view.figure = fmt::format("{:.0f} Hz", advice.pitch_hz);
        view.there = true;
        if (view.note.empty()) view.note = state.held ? "held" : "hold it";
        return view;
    }
    view.turn = advice.turn == dial::Turn::up ? 1 : -1;
    const char* way = advice.turn == dial::Turn::up ? "up" : "down";
    view.action = fmt::format("{} {}", advice.sure ? "turn" : "try", way);
    view.figure = advice.sure ? fmt::format("{:.3f} div", advice.turn_div) : "a little";
    if (advice.cross) {
        view.note = "through zero beat";
    } else if (view.note.empty()) {
        view.note = fmt::format("{:.0f} Hz too {}", std::abs(advice.off_hz),
                                advice.off_hz > 0.0 ? "high" : "low");
    }
    if (state.ended) view.note = "the input has ended";
    return view;
}

}  // namespace skedlark::gui
