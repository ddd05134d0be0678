// The picture along the dial: rows of the sweep's audio at the divisions where they were heard.
//
// Stage:   gui/sweep, no Qt. In: rows with their times, the motion as far as it is known. Out: dB over
//          the noise by column and pitch, and which columns changed.
// Units:   divisions, seconds, dB over the noise floor.
// Shape:   kColumns across the axis; a column holds the mean of what was heard there in one pass, the
//          last one. Where the dial rests, the rest is spread over the step about it.
// Time:    rows wait until it is known where the dial was: for a motion of marks, until the mark after
//          them.
// Errors:  none; rows beyond the axis count for nothing.
// Threads: none.
// Source:  none
// Checked: tests/desk/sweep/dial_picture_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/dial/motion.h"
#include "gui/sweep/sweep_axis.h"
#include "gui/sweep/sweep_user.h"

namespace skedlark::gui {

class DialPicture {
 public:
    static constexpr int kColumns = 960;
    static constexpr int kPoints = SweepUser::kPoints;

    // Empties it where the axis is another; otherwise the new pass is drawn over the old one.
    void begin_pass(const SweepAxis& axis, double step_div);
    void add(std::vector<SweepRow> rows);
    // Places what can be placed. all: the sweep is done, nothing more becomes known.
    void place(const dial::Motion& motion, bool all);

    // By pitch from the lowest; empty where nothing was heard.
    [[nodiscard]] std::span<const float> column(int index) const;
    // Since the last call, each once.
    [[nodiscard]] std::vector<int> take_changed();
    [[nodiscard]] const SweepAxis& axis() const { return axis_; }
    [[nodiscard]] int column_of(double div) const;
    [[nodiscard]] bool emptied() const { return emptied_; }

 private:
    struct Column {
        std::vector<float> mean_db{};
        int rows = 0;
        int pass = 0;
        bool changed = false;
    };
    void put(const SweepRow& row, int first, int last);

    SweepAxis axis_{};
    double step_div_ = 0.0;
    int pass_ = 0;
    bool emptied_ = true;
    int last_column_ = -1;  // of this pass, so that a quick turn leaves no gaps
    std::vector<Column> columns_{static_cast<std::size_t>(kColumns)};
    std::vector<SweepRow> waiting_;
    std::vector<int> changed_;
};

}  // namespace skedlark::gui
