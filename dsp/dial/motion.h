// Where the dial was while it was turned: from a steady pace between two divisions, in steps with
// rests between them, or from marks.
//
// Stage:   dial. In: a pace, steps, or divisions noted with their times. Out: division at any time.
// Units:   divisions as read, seconds from the recording's start.
// Shape:   straight lines between what is known.
// Time:    any; before the first and after the last known place the pace is carried on, ever less
//          surely.
// Errors:  create functions return invalid_value naming what is wrong.
// Threads: values.
// Source:  a hand's pace swings about its mean (kWobble of it, for kWobbleS at a time: common
//          practice, no source), so that between two known places the dial strays like a Brownian
//          bridge: variance 2 kWobbleS (kWobble pace)^2 t (T - t) / T, and beyond them like a walk.
// Checked: tests/dsp/dial/motion_test.cpp
#pragma once

#include <vector>

#include "dsp/core/result.h"

namespace skedlark::dial {

struct DialMark {
    double at_s = 0.0;
    double div = 0.0;
};

struct DialPosition {
    double div = 0.0;
    double sd_div = 0.0;
};

class Motion {
 public:
    static constexpr double kWobble = 0.12;
    static constexpr double kWobbleS = 0.7;

    // One even turn. from_div and to_div differ; seconds above 0.
    [[nodiscard]] static Result<Motion> paced(double from_div, double to_div, double seconds,
                                              double reading_sd_div);
    // At least two marks in rising order of time, at least two of them at different divisions.
    [[nodiscard]] static Result<Motion> marked(std::vector<DialMark> marks, double reading_sd_div);

    // From one division towards another by step_div at a time: a rest, a move, a rest, and so on; the
    // last rest is at to_div. Seconds and step above 0, at most kMostSteps steps.
    struct Steps {
        double from_div = 0.0;
        double to_div = 0.0;
        double step_div = 0.1;
        double rest_s = 20.0;
        double move_s = 2.0;
    };
    static constexpr int kMostSteps = 10000;
    [[nodiscard]] static Result<Motion> stepped(const Steps& steps, double reading_sd_div);

    [[nodiscard]] DialPosition at(double at_s) const;
    // Divisions a second, either sign, of the stretch that holds the time or lies nearest.
    [[nodiscard]] double pace_div_per_s(double at_s) const;
    [[nodiscard]] const std::vector<DialMark>& marks() const { return marks_; }

    // Turns one way: from the first mark of each to its last. Rests between them are left out.
    struct Turn {
        DialMark from;
        DialMark to;
    };
    [[nodiscard]] std::vector<Turn> turns() const;
    // Where the dial stood still for kLeastRestS or longer.
    static constexpr double kLeastRestS = 6.0;
    struct Rest {
        double from_s = 0.0;
        double to_s = 0.0;
        double div = 0.0;
    };
    [[nodiscard]] std::vector<Rest> rests() const;
    // Moves between rests that last less than kLeastTurnS are left out: a station is met at the rests.
    static constexpr double kLeastTurnS = 6.0;
    struct Paces {
        double slowest_div_per_s = 0.0;  // while it moved; 0 where it only stepped
        double fastest_div_per_s = 0.0;
        double low_div = 0.0;
        double high_div = 0.0;
    };
    [[nodiscard]] Paces paces() const;

 private:
    Motion(std::vector<DialMark> marks, double reading_sd_div)
        : marks_(std::move(marks)), reading_sd_div_(reading_sd_div) {}
    [[nodiscard]] std::size_t stretch_at(double at_s) const;
    [[nodiscard]] double pace_of(std::size_t stretch) const;

    std::vector<DialMark> marks_;
    double reading_sd_div_;
};

}  // namespace skedlark::dial
