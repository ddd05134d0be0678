// The part of SweepModel that is read from it: words, curve, where the dial should be.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {

namespace {

constexpr double kLookAheadS = 0.5;  // whether the dial rests

std::string clock_of(double seconds) {
    const auto whole = static_cast<long>(std::floor(std::max(0.0, seconds)));
    return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

double next_whole(double div, double end_div) {
    if (end_div > div) return std::min(std::floor(div + 1e-9) + 1.0, end_div);
    return std::max(std::ceil(div - 1e-9) - 1.0, end_div);
}

// Between marks the hand is taken to go on at the pace aimed at, up to the next division.
DialNow between_marks(const dial::PressedMarks& marks, double heard_s, double div_per_s) {
    DialNow now;
    now.turning = true;
    now.next = marks.next();
    if (marks.marks().empty()) {
        now.div = marks.divs().front();
        return now;
    }
    const dial::DialMark& last = marks.marks().back();
    now.div = last.div;
    if (!now.next) return now;
    const double most = std::abs(*now.next - last.div);
    const double gone = std::clamp(div_per_s * (heard_s - last.at_s), 0.0, most);
    now.div += *now.next > last.div ? gone : -gone;
    return now;
}

DialNow along(const dial::Motion& motion, const SweepSetup& swept, double heard_s) {
    DialNow now;
    const double whole_s = motion.marks().back().at_s;
    const double at_s = std::min(heard_s, whole_s);
    now.turning = true;
    now.div = motion.at(at_s).div;
    if (swept.way != SweepWay::stepped) {
        now.next = next_whole(now.div, swept.to_div);
        return now;
    }
    const double soon_div = motion.at(std::min(at_s + kLookAheadS, whole_s)).div;
    now.at_rest = std::abs(soon_div - now.div) < 1e-9;
    for (const auto& rest : motion.rests()) {
        if (rest.to_s < at_s || (now.at_rest && rest.from_s <= at_s)) continue;
        now.next = rest.div;
        break;
    }
    return now;
}

}  // namespace

SweepAxis SweepModel::axis() const {
    const SweepSetup& shown = now_.phase == SweepPhase::off || !dial_ ? setup_ : swept_;
    return SweepAxis::around(shown.from_div, shown.to_div);
}

DialNow SweepModel::dial_now() const {
    DialNow now;
    now.div = active() ? swept_.from_div : setup_.from_div;
    if (now_.phase != SweepPhase::running) return now;
    if (marks_) return between_marks(*marks_, now_.heard_s, div_per_min(swept_, *dial_) / 60.0);
    return now_.motion ? along(*now_.motion, swept_, now_.heard_s) : now;
}

std::string SweepModel::state_words() const {
    if (!now_.failure.empty()) return "Stopped: " + now_.failure;
    if (now_.phase == SweepPhase::armed) {
        if (swept_.way == SweepWay::over_file) return "Begins with the file.";
        if (!now_.audio_runs)
            return fmt::format("Set the dial to {:.2f}. Waits for the input.", swept_.from_div);
        return fmt::format("Set the dial to {:.2f}. It moves in {:.0f} s.", swept_.from_div,
                           std::ceil(now_.to_start_s));
    }
    if (now_.phase == SweepPhase::running) {
        const std::string heard = clock_of(now_.heard_s);
        if (marks_) {
            const auto pace = marks_->pace_div_per_min();
            return fmt::format("Mark {:g} by the space bar. {} heard{}", marks_->next().value_or(0),
                               heard, pace ? fmt::format(", {:.1f} div/min", *pace) : "");
        }
        if (!now_.motion) return heard;
        const std::string clock =
            fmt::format("{} of {}", heard, clock_of(now_.motion->marks().back().at_s));
        if (swept_.way != SweepWay::stepped) return "Turn evenly. " + clock;
        const DialNow dial = dial_now();
        return dial.at_rest
                   ? "Rest. " + clock
                   : fmt::format("Turn on to {:.2f}. {}", dial.next.value_or(dial.div), clock);
    }
    if (now_.phase == SweepPhase::done) {
        if (marks_ && !now_.motion)
            return "Done, but fewer than two divisions were marked: no station can be placed.";
        return fmt::format("Done: {} heard, {} station{} met.", clock_of(now_.heard_s),
                           rows_.size(), rows_.size() == 1 ? "" : "s");
    }
    return receiver_ ? "Ready." : "No receiver file: choose one on the Settings page (F2).";
}

std::optional<std::size_t> SweepModel::best() const {
    const auto at =
        std::find_if(rows_.begin(), rows_.end(), [](const StationRow& row) { return row.go_back; });
    if (at == rows_.end()) return std::nullopt;
    return static_cast<std::size_t>(at - rows_.begin());
}

std::optional<ZeroInWords> SweepModel::zero_in() const {
    if (!chosen_ || !now_.zero_in) return std::nullopt;
    ZeroInWords words = words_of(*now_.zero_in);
    if (!words.heard && !now_.audio_runs) words.why = "The input does not run: Ctrl+L listens.";
    if (now_.zero_in->call)
        words.why += fmt::format("  {} copied, {:.0f} % sure.", now_.zero_in->call->call,
                                 100.0 * now_.zero_in->call->confidence);
    return words;
}

std::vector<CurvePoint> SweepModel::curve() const {
    std::vector<CurvePoint> points;
    if (!map_) return points;
    const dial::PlaceMap& map = map_->map();
    const SweepAxis shown = axis();
    // No finer than the picture's columns.
    const double least = shown.span_div() / 400.0;
    const auto together =
        std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(least / map.step_div())));
    for (std::size_t cell = 0; cell < map.cells(); cell += together) {
        const std::size_t end = std::min(cell + together, map.cells());
        const double middle = 0.5 * (map.div_of(cell) + map.div_of(end - 1));
        if (middle < shown.low_div() || middle > shown.high_div()) continue;
        double chance = 0.0;
        for (std::size_t i = cell; i < end; ++i) chance += map.chance(i);
        points.push_back({middle, chance / (map.step_div() * static_cast<double>(end - cell))});
    }
    return points;
}

std::string SweepModel::map_words() const {
    if (!map_) return "Give the frequency wanted, and the curve shows where it can still be.";
    const auto place = map_->map().place();
    std::string words =
        fmt::format("{:.4f} MHz is likeliest at {:.2f}, with 95 % from {:.2f} to {:.2f}.",
                    map_->map().wanted_mhz(), place.likeliest_div, place.low_div, place.high_div);
    if (map_->map().passes() == 0) return words;
    const double chance = map_->map().chance_so_far();
    return words + (chance > 0.999 ? " Chance so far over 99.9 %."
                                   : fmt::format(" Chance so far {:.1f} %.", 100.0 * chance));
}

std::string SweepModel::next_words() const {
    if (!next_) return {};
    return fmt::format("{:.1f} to {:.1f} at {:.2f} div/min, {}",
                       next_->from_div - next_->run_on_div, next_->to_div + next_->run_on_div,
                       next_->div_per_min, clock_of(next_->seconds));
}

}  // namespace skedlark::gui
