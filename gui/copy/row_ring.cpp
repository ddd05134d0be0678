#include "gui/copy/row_ring.h"

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

std::uint8_t byte_of_db(float over_noise_db) {
    const double share = std::clamp(
        (static_cast<double>(over_noise_db) - kPaperDb) / (kFullDb - kPaperDb), 0.0, 1.0);
    return static_cast<std::uint8_t>(std::lround(255.0 * share));
}

RowRing::RowRing(int capacity, int points)
    : capacity_(capacity),
      points_(points),
      infos_(static_cast<std::size_t>(capacity)),
      bytes_(static_cast<std::size_t>(capacity) * static_cast<std::size_t>(points)) {}

std::size_t RowRing::slot(std::int64_t row) const {
    return static_cast<std::size_t>(row % capacity_);
}

void RowRing::add(const RowInfo& info, std::span<const std::uint8_t> bytes) {
    const std::size_t at = slot(end_);
    infos_[at] = info;
    const auto to = bytes_.begin() + static_cast<std::ptrdiff_t>(at) * points_;
    std::copy_n(bytes.begin(), std::min<std::size_t>(bytes.size(), points_), to);
    ++end_;
    begin_ = std::max(begin_, end_ - capacity_);
}

void RowRing::clear() { begin_ = end_; }

std::int64_t RowRing::begin_row() const { return begin_; }

const RowInfo& RowRing::info(std::int64_t row) const { return infos_[slot(row)]; }

std::span<const std::uint8_t> RowRing::bytes(std::int64_t row) const {
    return std::span(bytes_).subspan(slot(row) * static_cast<std::size_t>(points_),
                                     static_cast<std::size_t>(points_));
}

std::int64_t RowRing::row_at(FrameIndex frame) const {
    std::int64_t low = begin_, high = end_;
    while (low < high) {
        const std::int64_t middle = low + (high - low) / 2;
        if (info(middle).frame < frame) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

}  // namespace skedlark::gui
