#include "gui/sweep/swept_columns.h"

#include <algorithm>

namespace skedlark::gui {

namespace {
// A hand that is not followed by marks for this long has let go: older rows are dropped, so that the
// memory is bounded. An hour at 16 rows a second.
constexpr std::size_t kMostWaiting = 57600;
}  // namespace

SweptColumns::SweptColumns(const DivAxis& axis, double spread_div)
    : axis_(axis), spread_div_(spread_div), columns_(kColumns) {}

void SweptColumns::add(double at_s, std::span<const float> row) {
    if (waiting_.size() >= kMostWaiting) waiting_.pop_front();
    waiting_.push_back({at_s, {row.begin(), row.end()}});
}

void SweptColumns::place(const dial::Motion& motion, double known_s) {
    while (!waiting_.empty() && waiting_.front().at_s <= known_s) {
        const Row& row = waiting_.front();
        if (row.at_s >= motion.marks().front().at_s) put(row, motion.at(row.at_s).div);
        waiting_.pop_front();
    }
}

void SweptColumns::put(const Row& row, double div) {
    int first = axis_.column_of(div - spread_div_, kColumns);
    int last = axis_.column_of(div + spread_div_, kColumns);
    const int here = axis_.column_of(div, kColumns);
    if (last_column_ >= 0 && spread_div_ == 0.0) {
        if (here > last_column_ + 1) first = last_column_ + 1;
        if (here < last_column_ - 1) last = last_column_ - 1;
    }
    last_column_ = here;
    for (int n = first; n <= last; ++n) {
        Column& column = columns_[static_cast<std::size_t>(n)];
        column.sum.resize(row.points.size(), 0.0F);
        std::transform(column.sum.begin(), column.sum.end(), row.points.begin(), column.sum.begin(),
                       std::plus<>());
        ++column.rows;
        column.changed = true;
    }
}

std::vector<SweptColumn> SweptColumns::take_changed() {
    std::vector<SweptColumn> changed;
    for (std::size_t n = 0; n < columns_.size(); ++n) {
        Column& column = columns_[n];
        if (!column.changed) continue;
        column.changed = false;
        SweptColumn& out = changed.emplace_back();
        out.column = static_cast<int>(n);
        out.over_noise_db = column.sum;
        for (float& level : out.over_noise_db) level /= static_cast<float>(column.rows);
    }
    return changed;
}

}  // namespace skedlark::gui
