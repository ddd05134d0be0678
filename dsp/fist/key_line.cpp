#include "dsp/fist/key_line.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "dsp/core/units.h"

namespace skedlark::fist {
namespace {

// Means over so much: a sidetone of 300 Hz and up is smooth after it.
constexpr int kSmoothFrames = 32;  // 4 ms
constexpr double kLevelShare =
    0.25;  // of the signal's rms: below, no level changes and it is a tone
constexpr double kLeastLevel = 1e-4;
constexpr double kLeastContrast = 4.0;
constexpr double kShortestMarkS = 0.005;
// A contact that bounces, and clicks, as of a received tone (keying.h).
constexpr double kBreakS = 1e-3 * kLongestBreakMs;
constexpr double kClickS = 1e-3 * kShortestMarkMs;
constexpr double kLongestPathS = 0.25;
constexpr double kDotBelowMid = 1.7320508;  // geometric mean of 1 and 3 dots

std::vector<double> smoothed(std::span<const float> audio, bool rectified, double offset) {
    std::vector<double> sums{0.0};
    sums.reserve(audio.size() + 1);
    for (const float sample : audio) {
        const double value = std::isfinite(sample) ? static_cast<double>(sample) - offset : 0.0;
        sums.push_back(sums.back() + (rectified ? std::abs(value) : value));
    }
    std::vector<double> out;
    out.reserve(audio.size());
    const auto size = static_cast<std::ptrdiff_t>(audio.size());
    for (std::ptrdiff_t n = 0; n < size; ++n) {
        const auto from = std::max<std::ptrdiff_t>(0, n - kSmoothFrames / 2);
        const auto to = std::min(size, n + kSmoothFrames / 2);
        out.push_back((sums[static_cast<std::size_t>(to)] - sums[static_cast<std::size_t>(from)]) /
                      static_cast<double>(to - from));
    }
    return out;
}

double quantile(std::vector<double> values, double share) {
    const auto place = values.begin() +
                       static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

// Two levels and how far values scatter about each.
struct Levels {
    double low = 0.0, high = 0.0, scatter = 0.0;
    [[nodiscard]] double middle() const { return 0.5 * (low + high); }
};
Levels levels_of(const std::vector<double>& values) {
    // A key is down between a tenth and nine tenths of the time that it is in use; of a long
    // recording with little in it the extremes still hold both.
    Levels out{quantile(values, 0.02), quantile(values, 0.98)};
    for (int pass = 0; pass < 10; ++pass) {
        double sums[2] = {}, n[2] = {};
        for (const double value : values) {
            const int up = value > out.middle() ? 1 : 0;
            sums[up] += value;
            n[up] += 1.0;
        }
        if (n[0] > 0.0) out.low = sums[0] / n[0];
        if (n[1] > 0.0) out.high = sums[1] / n[1];
    }
    double sum = 0.0;
    for (const double value : values) {
        const double off = value - (value > out.middle() ? out.high : out.low);
        sum += off * off;
    }
    out.scatter = std::sqrt(sum / static_cast<double>(values.size()));
    return out;
}

std::vector<KeyMark> marks_between(const std::vector<double>& values, const Levels& levels,
                                   bool down_is_high) {
    const double sign = down_is_high ? 1.0 : -1.0;
    const double half = 0.5 * (levels.high - levels.low);
    const auto over = [&](std::size_t n) { return sign * (values[n] - levels.middle()) / half; };
    const auto crossing = [&](std::size_t n, double direction) {
        // Back to where the half was passed.
        while (n > 0 && direction * over(n - 1) > 0.0) --n;
        if (n == 0) return 0.0;
        const double a = over(n - 1), b = over(n);
        const double part = b == a ? 0.0 : -a / (b - a);
        return (static_cast<double>(n) - 1.0 + part) / kWorkRateHz;
    };
    std::vector<KeyMark> out;
    bool down = false;
    for (std::size_t n = 0; n < values.size(); ++n) {
        if (!down && over(n) > 0.4) {
            out.push_back({crossing(n, 1.0), static_cast<double>(values.size()) / kWorkRateHz});
            down = true;
        } else if (down && over(n) < -0.4) {
            out.back().off_s = crossing(n, -1.0);
            down = false;
        }
    }
    std::erase_if(out, [](const KeyMark& mark) { return mark.off_s - mark.on_s < kShortestMarkS; });
    return out;
}

class Moments {
 public:
    void add(double value) {
        ++n_;
        const double step = value - mean_;
        mean_ += step / n_;
        squares_ += step * (value - mean_);
    }
    [[nodiscard]] Delay delay() const {
        return {mean_, n_ > 1 ? std::sqrt(squares_ / (n_ - 1)) : 0.0};
    }

 private:
    int n_ = 0;
    double mean_ = 0.0, squares_ = 0.0;
};

double shortest_length(std::span<const KeyMark> key) {
    std::vector<double> lengths;
    for (const KeyMark& mark : key) lengths.push_back(mark.off_s - mark.on_s);
    return quantile(lengths, 0.1);
}

// What both edges are late by, from the ends of the marks: where most of them agree.
double path_s(std::span<const KeyMark> key, const Keying& received) {
    std::vector<double> late;
    std::size_t from = 0;
    for (const KeyMark& mark : key) {
        while (from < received.marks.size() && received.marks[from].off_s < mark.off_s - 0.02) {
            ++from;
        }
        if (from < received.marks.size() &&
            received.marks[from].off_s < mark.off_s + kLongestPathS) {
            late.push_back(received.marks[from].off_s - mark.off_s);
        }
    }
    return late.empty() ? 0.0 : quantile(late, 0.5);
}

}  // namespace

Result<std::vector<KeyMark>> key_marks(std::span<const float> audio) {
    const Error silent{ErrorCode::not_found,
                       "key channel: no key line and no sidetone in it, it never changes level"};
    if (audio.size() < static_cast<std::size_t>(kSmoothFrames)) return silent;
    double power = 0.0, mean = 0.0;
    for (const float sample : audio) {
        const double value = std::isfinite(sample) ? static_cast<double>(sample) : 0.0;
        power += value * value;
        mean += value;
    }
    mean /= static_cast<double>(audio.size());
    const double rms = std::sqrt(power / static_cast<double>(audio.size()));
    if (rms < kLeastLevel) return silent;
    std::vector<double> values = smoothed(audio, false, 0.0);
    Levels levels = levels_of(values);
    const bool is_level = levels.high - levels.low > kLevelShare * rms &&
                          levels.high - levels.low > kLeastContrast * levels.scatter;
    if (!is_level) {
        values = smoothed(audio, true, mean);
        levels = levels_of(values);
    }
    if (levels.high - levels.low < kLeastLevel ||
        levels.high - levels.low < kLeastContrast * levels.scatter) {
        return silent;
    }
    // A recording begins with the key up.
    const bool begins_high = is_level && values[values.size() > 800 ? 400 : 0] > levels.middle();
    std::vector<KeyMark> marks = marks_between(values, levels, !begins_high);
    if (marks.empty()) return silent;
    return marks;
}

Keying keying_of(std::span<const KeyMark> key, double edge_sd_s) {
    Keying out;
    out.snr_2500hz_db = std::numeric_limits<double>::quiet_NaN();
    for (const KeyMark& mark : key) {
        if (!std::isfinite(mark.on_s) || !(mark.off_s > mark.on_s)) continue;
        if (!out.marks.empty() && mark.on_s < out.marks.back().off_s) continue;
        if (!out.marks.empty() && mark.on_s - out.marks.back().off_s <= kBreakS) {
            MeasuredMark& last = out.marks.back();
            if (last.breaks++ == 0) last.first_break_s = last.off_s - last.on_s;
            last.off_s = mark.off_s;
            continue;
        }
        MeasuredMark one;
        one.on_s = mark.on_s;
        one.off_s = mark.off_s;
        one.on_sd_s = one.off_sd_s = edge_sd_s;
        out.marks.push_back(one);
    }
    std::erase_if(out.marks, [](const MeasuredMark& m) { return m.length_s() < kClickS; });
    return out;
}

KeyComparison compare_key(std::span<const KeyMark> key, const Keying& received) {
    KeyComparison out;
    out.marks = static_cast<int>(key.size());
    if (key.empty()) return out;
    const double path = path_s(key, received);
    const double dot_s = shortest_length(key);
    Moments rise, fall, shortened;
    std::vector<char> used(received.marks.size(), 0);
    std::size_t from = 0;
    for (const KeyMark& mark : key) {
        const bool dash = mark.off_s - mark.on_s > kDotBelowMid * dot_s;
        ++(dash ? out.dashes : out.dots);
        while (from < received.marks.size() && received.marks[from].off_s < mark.on_s + path)
            ++from;
        int pieces = 0;
        std::size_t first = 0, last = 0;
        for (std::size_t i = from;
             i < received.marks.size() && received.marks[i].on_s < mark.off_s + path; ++i) {
            if (pieces++ == 0) first = i;
            last = i;
            used[i] = 1;
        }
        if (pieces == 0) {
            ++(dash ? out.dashes_lost : out.dots_lost);
            out.lost_at_s.push_back(mark.on_s);
            continue;
        }
        if (received.marks[first].beside_lost || received.marks[last].beside_lost) continue;
        const double late_on = received.marks[first].on_s - mark.on_s;
        const double late_off = received.marks[last].off_s - mark.off_s;
        rise.add(late_on);
        fall.add(late_off);
        shortened.add(late_on - late_off);
    }
    out.not_keyed = static_cast<int>(std::count(used.begin(), used.end(), char{0}));
    out.rise = rise.delay();
    out.fall = fall.delay();
    out.shortened = shortened.delay();
    return out;
}

}  // namespace skedlark::fist
