// The picture of a sweep as columns along the dial: rows of the strip put where the dial was then.
//
// Stage:   gui/sweep, no Qt. In: rows with their time, the motion. Out: columns that changed.
// Units:   dB over the noise; divisions; seconds from the sweep's start.
// Shape:   kColumns columns of kPoints points, the lowest pitch first. A column is the mean of the
//          rows met there; a dial that jumps over columns fills them with the same row.
// Time:    a row waits until it is known where the dial was (marks).
// Errors:  none.
// Threads: one; the owner guards it.
// Source:  none
// Checked: tests/desk/sweep/swept_columns_test.cpp
#pragma once

#include <deque>
#include <span>
#include <vector>

#include "dsp/dial/motion.h"
#include "gui/sweep/div_axis.h"

namespace skedlark::gui {

inline constexpr double kPictureLowHz = 200.0;
inline constexpr double kPictureHighHz = 3000.0;

struct SweptColumn {
    int column = 0;
    std::vector<float> over_noise_db{};
};

class SweptColumns {
 public:
    static constexpr int kColumns = 800;
    static constexpr int kPoints = 140;

    // spread_div: a row at rest stands for so much of the dial on both sides; 0 in motion.
    SweptColumns(const DivAxis& axis, double spread_div);

    void add(double at_s, std::span<const float> row);
    // Puts the rows that waited where the motion says, up to known_s.
    void place(const dial::Motion& motion, double known_s);
    // Those changed since the last call.
    [[nodiscard]] std::vector<SweptColumn> take_changed();
    [[nodiscard]] std::size_t waiting() const { return waiting_.size(); }

 private:
    struct Row {
        double at_s;
        std::vector<float> points;
    };
    struct Column {
        std::vector<float> sum{};
        int rows = 0;
        bool changed = false;
    };
    void put(const Row& row, double div);

    DivAxis axis_;
    double spread_div_;
    std::deque<Row> waiting_;
    std::vector<Column> columns_;
    int last_column_ = -1;
};

}  // namespace skedlark::gui
