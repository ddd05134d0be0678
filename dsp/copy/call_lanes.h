// A few levels of a tone side by side, and sums over their past.
//
// Stage:   copy, inside. In: weights by boundary. Out: sums over the lengths that may end there.
// Units:   weights relative to noise alone.
// Shape:   kCallLanes levels a boundary; the last kPast boundaries can be asked for.
// Time:    boundaries are counted by whoever appends.
// Errors:  none.
// Threads: one thread per instance; append() allocates only at first.
// Source:  none
// Checked: tests/dsp/copy/call_lanes_test.cpp
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <vector>

#include "dsp/copy/timing_model.h"

namespace skedlark::copy {

inline constexpr int kCallLanes = 8;

struct alignas(64) Lanes {
    std::array<double, kCallLanes> at{};

    [[nodiscard]] double sum() const {
        double total = 0.0;
        for (const double one : at) total += one;
        return total;
    }
    void add(const Lanes& other, double factor) {
        for (int l = 0; l < kCallLanes; ++l) at[l] += factor * other.at[l];
    }
    void fill(double value) { at.fill(value); }
};

// Weights at the boundaries up to the latest.
class LanesPast {
 public:
    static constexpr int kPast = 192;

    LanesPast() : values_(kRoom) {}
    void append(const Lanes& lanes) {
        if (end_ == kRoom) {
            std::memmove(values_.data(), values_.data() + (kRoom - kPast), kPast * sizeof(Lanes));
            end_ = kPast;
        }
        values_[end_++] = lanes;
    }
    // back: 0 is the latest; to kPast - 1.
    [[nodiscard]] const Lanes& back(int back) const {
        return values_[end_ - 1 - static_cast<std::size_t>(back)];
    }
    [[nodiscard]] Lanes& back(int back) {
        return values_[end_ - 1 - static_cast<std::size_t>(back)];
    }
    void scale(double factor) {
        for (std::size_t i = end_ - kPast; i < end_; ++i)
            for (double& one : values_[i].at) one *= factor;
    }
    // Nothing but zeros, as at the beginning.
    void clear() {
        std::fill(values_.begin(), values_.end(), Lanes{});
        end_ = kPast;
    }

 private:
    static constexpr std::size_t kRoom = 2 * kPast;
    std::vector<Lanes> values_;
    std::size_t end_ = kPast;
};

// Sum over the lengths of a gap that may end at a boundary which comes after the latest of `past`.
[[nodiscard]] Lanes over_gaps(const LanesPast& past, const LengthTable& lengths);
// The same for marks; marks[length]: how much a mark so long that ends there speaks for itself.
[[nodiscard]] Lanes over_marks(const LanesPast& past, const LengthTable& lengths,
                               const std::vector<Lanes>& marks);

}  // namespace skedlark::copy
