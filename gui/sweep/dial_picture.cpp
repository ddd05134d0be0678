#include "gui/sweep/dial_picture.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace skedlark::gui {

namespace {

// The rest about this time; empty where the dial moves.
const dial::Motion::Rest* rest_at(const std::vector<dial::Motion::Rest>& rests, double at_s) {
    for (const auto& rest : rests) {
        if (at_s >= rest.from_s && at_s < rest.to_s) return &rest;
    }
    return nullptr;
}

}  // namespace

void DialPicture::begin_pass(const SweepAxis& axis, double step_div) {
    emptied_ = axis.low_div() != axis_.low_div() || axis.high_div() != axis_.high_div();
    axis_ = axis;
    axis_.set_pixels(0.0, kColumns);
    step_div_ = step_div;
    ++pass_;
    last_column_ = -1;
    waiting_.clear();
    if (!emptied_) return;
    columns_.assign(kColumns, {});
    changed_.clear();
}

void DialPicture::add(std::vector<SweepRow> rows) {
    std::move(rows.begin(), rows.end(), std::back_inserter(waiting_));
}

int DialPicture::column_of(double div) const {
    return static_cast<int>(std::floor(axis_.x_of(div)));
}

void DialPicture::place(const dial::Motion& motion, bool all) {
    const double known_s = motion.marks().back().at_s;
    const auto rests = step_div_ > 0.0 ? motion.rests() : std::vector<dial::Motion::Rest>{};
    std::size_t placed = 0;
    for (; placed < waiting_.size(); ++placed) {
        const SweepRow& row = waiting_[placed];
        if (row.at_s > known_s) break;
        if (row.at_s < motion.marks().front().at_s) continue;
        double div = motion.at(row.at_s).div;
        if (const auto* rest = rest_at(rests, row.at_s)) {
            const double share = (row.at_s - rest->from_s) / (rest->to_s - rest->from_s);
            div = rest->div + step_div_ * (share - 0.5);
        } else if (step_div_ > 0.0) {
            continue;  // on the way to the next rest
        }
        const int column = column_of(div);
        const int from = last_column_ < 0 ? column : last_column_;
        put(row, std::min(column, column > from ? from + 1 : from),
            std::max(column, column < from ? from - 1 : from));
        last_column_ = column;
    }
    waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(placed));
    if (all) waiting_.clear();
}

void DialPicture::put(const SweepRow& row, int first, int last) {
    for (int i = std::max(first, 0); i <= std::min(last, kColumns - 1); ++i) {
        Column& column = columns_[static_cast<std::size_t>(i)];
        if (column.pass != pass_ || column.mean_db.size() != row.over_noise_db.size()) {
            column.mean_db.assign(row.over_noise_db.size(), 0.0F);
            column.rows = 0;
            column.pass = pass_;
        }
        ++column.rows;
        const float share = 1.0F / static_cast<float>(column.rows);
        for (std::size_t p = 0; p < column.mean_db.size(); ++p)
            column.mean_db[p] += share * (row.over_noise_db[p] - column.mean_db[p]);
        if (!column.changed) changed_.push_back(i);
        column.changed = true;
    }
}

std::span<const float> DialPicture::column(int index) const {
    return columns_[static_cast<std::size_t>(index)].mean_db;
}

std::vector<int> DialPicture::take_changed() {
    for (const int i : changed_) columns_[static_cast<std::size_t>(i)].changed = false;
    emptied_ = false;
    return std::exchange(changed_, {});
}

}  // namespace skedlark::gui
