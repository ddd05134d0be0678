#include "dsp/dial/motion.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::dial {

Result<Motion> Motion::paced(double from_div, double to_div, double seconds,
                             double reading_sd_div) {
    if (!(std::abs(to_div - from_div) > 0.0)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("from {} to {}: the dial does not move", from_div, to_div)};
    }
    if (!(seconds > 0.0)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("seconds: {}, allowed above 0", seconds)};
    }
    return Motion({{0.0, from_div}, {seconds, to_div}}, reading_sd_div);
}

Result<Motion> Motion::marked(std::vector<DialMark> marks, double reading_sd_div) {
    if (marks.size() < 2) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("marks: {}, allowed 2 or more", marks.size())};
    }
    bool moves = false;
    for (std::size_t n = 1; n < marks.size(); ++n) {
        if (!(marks[n].at_s > marks[n - 1].at_s)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("mark {} at {} s: allowed after the one before, at {} s",
                                     n + 1, marks[n].at_s, marks[n - 1].at_s)};
        }
        moves = moves || marks[n].div != marks[n - 1].div;
    }
    if (!moves) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("marks: all at division {}, allowed at least two divisions",
                                 marks.front().div)};
    }
    return Motion(std::move(marks), reading_sd_div);
}

Result<Motion> Motion::stepped(const Steps& steps, double reading_sd_div) {
    const auto wrong = [](const char* field, double value, const char* allowed) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {}, allowed {}", field, value, allowed)};
    };
    if (!(steps.step_div > 0.0)) return wrong("step", steps.step_div, "above 0");
    if (!(steps.rest_s >= kLeastRestS)) return wrong("rest", steps.rest_s, "6 s and more");
    if (!(steps.move_s > 0.0)) return wrong("move", steps.move_s, "above 0 s");
    const double span = steps.to_div - steps.from_div;
    const double count = std::ceil(std::abs(span) / steps.step_div - 1e-9);
    if (!(count >= 1.0 && count <= kMostSteps))
        return wrong("steps", count, "1 to 10000; another step or stretch");
    std::vector<DialMark> marks;
    double at_s = 0.0;
    for (double n = 0.0; n <= count; ++n) {
        const double gone = std::min(n * steps.step_div, std::abs(span));
        const double div = steps.from_div + std::copysign(gone, span);
        marks.push_back({at_s, div});
        marks.push_back({at_s + steps.rest_s, div});
        at_s += steps.rest_s + steps.move_s;
    }
    return Motion(std::move(marks), reading_sd_div);
}

std::size_t Motion::stretch_at(double at_s) const {
    const auto later =
        std::upper_bound(marks_.begin(), marks_.end(), at_s,
                         [](double time_s, const DialMark& mark) { return time_s < mark.at_s; });
    const auto index = static_cast<std::size_t>(later - marks_.begin());
    return std::clamp<std::size_t>(index, 1, marks_.size() - 1) - 1;
}

double Motion::pace_of(std::size_t stretch) const {
    const DialMark& from = marks_[stretch];
    const DialMark& to = marks_[stretch + 1];
    return (to.div - from.div) / (to.at_s - from.at_s);
}

double Motion::pace_div_per_s(double at_s) const { return pace_of(stretch_at(at_s)); }

DialPosition Motion::at(double at_s) const {
    const std::size_t stretch = stretch_at(at_s);
    const DialMark& from = marks_[stretch];
    const DialMark& to = marks_[stretch + 1];
    const double pace = pace_of(stretch);
    const double whole_s = to.at_s - from.at_s;
    const double gone_s = at_s - from.at_s;
    const double spread = 2.0 * kWobbleS * std::pow(kWobble * pace, 2.0);
    double variance = reading_sd_div_ * reading_sd_div_;
    if (gone_s < 0.0 || gone_s > whole_s) {
        const double beyond_s = gone_s < 0.0 ? -gone_s : gone_s - whole_s;
        // A walk, and a pace of which no more than the last stretch is known.
        variance += spread * beyond_s + std::pow(kWobble * pace * beyond_s, 2.0);
    } else {
        variance += spread * gone_s * (whole_s - gone_s) / whole_s;
    }
    return {from.div + pace * gone_s, std::sqrt(variance)};
}

std::vector<Motion::Turn> Motion::turns() const {
    std::vector<Turn> turns;
    double way = 0.0;
    for (std::size_t n = 0; n + 1 < marks_.size(); ++n) {
        const double step = marks_[n + 1].div - marks_[n].div;
        if (step == 0.0) {
            way = 0.0;
            continue;
        }
        if (way * step > 0.0) {
            turns.back().to = marks_[n + 1];
        } else {
            turns.push_back({marks_[n], marks_[n + 1]});
        }
        way = step;
    }
    const bool rested = !rests().empty();
    std::erase_if(turns, [rested](const Turn& turn) {
        return rested && turn.to.at_s - turn.from.at_s < kLeastTurnS;
    });
    return turns;
}

std::vector<Motion::Rest> Motion::rests() const {
    std::vector<Rest> rests;
    for (std::size_t n = 0; n + 1 < marks_.size(); ++n) {
        if (marks_[n + 1].div != marks_[n].div) continue;
        if (!rests.empty() && rests.back().to_s == marks_[n].at_s) {
            rests.back().to_s = marks_[n + 1].at_s;
        } else {
            rests.push_back({marks_[n].at_s, marks_[n + 1].at_s, marks_[n].div});
        }
    }
    std::erase_if(rests, [](const Rest& rest) { return rest.to_s - rest.from_s < kLeastRestS; });
    return rests;
}

Motion::Paces Motion::paces() const {
    Paces paces{1e300, 0.0, marks_.front().div, marks_.front().div};
    for (const DialMark& mark : marks_) {
        paces.low_div = std::min(paces.low_div, mark.div);
        paces.high_div = std::max(paces.high_div, mark.div);
    }
    const std::vector<Turn> counted = turns();
    for (std::size_t n = 0; n + 1 < marks_.size(); ++n) {
        const double pace = std::abs(pace_of(n));
        const bool counts = std::any_of(counted.begin(), counted.end(), [&](const Turn& turn) {
            return turn.from.at_s <= marks_[n].at_s && marks_[n + 1].at_s <= turn.to.at_s;
        });
        if (pace == 0.0 || !counts) continue;
        paces.slowest_div_per_s = std::min(paces.slowest_div_per_s, pace);
        paces.fastest_div_per_s = std::max(paces.fastest_div_per_s, pace);
    }
    if (paces.fastest_div_per_s == 0.0) paces.slowest_div_per_s = 0.0;
    return paces;
}

}  // namespace skedlark::dial
