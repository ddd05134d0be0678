// A list of weights from which one is drawn by its share.
//
// Stage:   copy.
// Units:   weights of any scale, 0 or more.
// Shape:   any number; pick() gives the place in the order of adding.
// Errors:  none; pick() only where possible().
// Threads: one thread per instance.
// Checked: tests/dsp/copy/path_endings_test.cpp
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace skedlark::copy {

class WeightedChoice {
 public:
    void clear() { sum_.clear(); }
    void add(double weight) { sum_.push_back((sum_.empty() ? 0.0 : sum_.back()) + weight); }
    [[nodiscard]] double total() const { return sum_.empty() ? 0.0 : sum_.back(); }
    [[nodiscard]] bool possible() const { return !sum_.empty() && sum_.back() > 0.0; }
    [[nodiscard]] std::size_t size() const { return sum_.size(); }
    // Weight of the places from <= i < to.
    [[nodiscard]] double between(std::size_t from, std::size_t to) const {
        return to > from ? sum_[to - 1] - (from > 0 ? sum_[from - 1] : 0.0) : 0.0;
    }
    // uniform: from 0 to below 1.
    [[nodiscard]] std::size_t pick_between(std::size_t from, std::size_t to, double uniform) const {
        const double before = from > 0 ? sum_[from - 1] : 0.0;
        const auto at =
            std::upper_bound(sum_.begin(), sum_.end(), before + uniform * between(from, to));
        return std::clamp(static_cast<std::size_t>(at - sum_.begin()), from, to - 1);
    }
    [[nodiscard]] std::size_t pick(double uniform) const {
        const auto at = std::upper_bound(sum_.begin(), sum_.end(), uniform * sum_.back());
        return std::min(static_cast<std::size_t>(at - sum_.begin()), sum_.size() - 1);
    }

 private:
    std::vector<double> sum_;
};

}  // namespace skedlark::copy
