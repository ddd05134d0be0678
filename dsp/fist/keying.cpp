#include "dsp/fist/keying.h"

#include <algorithm>
#include <cmath>

#include "dsp/core/log_bessel.h"

namespace skedlark::fist {
namespace {

// Level: a high quantile of the smoothed envelope in windows of so much to each side.
constexpr int kLevelHop = 500;
constexpr int kLevelReach = 1500;
constexpr double kLevelQuantile = 0.9;
// Below this share of the usual level a window holds a pause, not a fade (-12 dB).
constexpr double kPauseShare = 0.25;
// No keyed note is truer to "full level or nothing" than this, as power against the tone's.
constexpr double kKeyingFloor = 1.0e-2;
// What a change of state costs, in natural logarithms. Tried 5 to 15 at 0 to 30 dB: below 7 noise
// cuts marks at 5 dB, above 12 short dots go lost there. Moves with it: Keying tests.
constexpr double kChangeCost = 9.0;
// A tone must stand out of the noise in the fine band by this, in amplitude.
constexpr double kLeastOverNoise = 1.8;
constexpr int kSmooth = 2;  // frames to each side

std::vector<float> smoothed_envelope(const FineBaseband& tone) {
    std::vector<float> out(tone.z.size());
    const int size = tone.size();
    for (int k = 0; k < size; ++k) {
        std::complex<float> sum{};
        const int from = std::max(0, k - kSmooth);
        const int to = std::min(size - 1, k + kSmooth);
        for (int n = from; n <= to; ++n) sum += tone.z[static_cast<std::size_t>(n)];
        out[static_cast<std::size_t>(k)] = std::abs(sum) / static_cast<float>(to - from + 1);
    }
    return out;
}

double quantile_of(std::vector<float>& values, double share) {
    if (values.empty()) return 0.0;
    const auto place = values.begin() +
                       static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), place, values.end());
    return static_cast<double>(*place);
}

// A level each kLevelHop frames, spread to one a frame.
class Level {
 public:
    explicit Level(std::vector<double> nodes) : nodes_(std::move(nodes)) {}
    [[nodiscard]] double at(int k) const {
        const double place = static_cast<double>(k) / kLevelHop;
        const auto node = std::min(static_cast<std::size_t>(place), nodes_.size() - 1);
        const auto next = std::min(node + 1, nodes_.size() - 1);
        const double part = std::clamp(place - static_cast<double>(node), 0.0, 1.0);
        return nodes_[node] + part * (nodes_[next] - nodes_[node]);
    }

 private:
    std::vector<double> nodes_;
};

Level first_level(const FineBaseband& tone) {
    const std::vector<float> envelope = smoothed_envelope(tone);
    const int size = tone.size();
    std::vector<double> nodes;
    std::vector<float> window;
    for (int middle = 0; middle <= size; middle += kLevelHop) {
        window.clear();
        for (int k = std::max(0, middle - kLevelReach); k < std::min(size, middle + kLevelReach);
             k += 3) {
            if (tone.lost[static_cast<std::size_t>(k)] == 0) {
                window.push_back(envelope[static_cast<std::size_t>(k)]);
            }
        }
        nodes.push_back(quantile_of(window, kLevelQuantile));
    }
    // What is usual where there is keying: upper part of the windows.
    std::vector<float> sorted(nodes.begin(), nodes.end());
    const double usual = quantile_of(sorted, 0.75);
    for (double& node : nodes) {
        if (node < kPauseShare * usual) node = usual;
    }
    return Level(std::move(nodes));
}

// From the marks that are there: the median of the nearest in time.
Level level_of_marks(const std::vector<RoughMark>& marks, int size) {
    constexpr std::ptrdiff_t kEachSide = 3;
    std::vector<double> nodes;
    std::size_t next = 0;
    for (int middle = 0; middle <= size; middle += kLevelHop) {
        while (next < marks.size() && marks[next].from < middle) ++next;
        const auto here = static_cast<std::ptrdiff_t>(next);
        const auto from = std::max<std::ptrdiff_t>(0, here - kEachSide);
        const auto to = std::min(static_cast<std::ptrdiff_t>(marks.size()), here + kEachSide);
        std::vector<float> near;
        for (auto i = from; i < to; ++i) {
            near.push_back(static_cast<float>(marks[static_cast<std::size_t>(i)].amplitude));
        }
        nodes.push_back(quantile_of(near, 0.5));
    }
    return Level(std::move(nodes));
}

std::vector<RoughMark> cut(const FineBaseband& tone, const Level& level) {
    const int size = tone.size();
    // Neighbouring frames share noise: only so much of each is news.
    const double news = fine_noise_hz() / kFineRateHz;
    std::vector<char> from_up(static_cast<std::size_t>(size));    // best way to "up" came from up
    std::vector<char> from_down(static_cast<std::size_t>(size));  // best way to "down" from down
    double up = -kChangeCost;
    double down = 0.0;
    for (int k = 0; k < size; ++k) {
        const auto i = static_cast<std::size_t>(k);
        const double a = level.at(k);
        const double v =
            std::max({static_cast<double>(tone.noise_variance[i]), kKeyingFloor * a * a, 1.0e-20});
        double score =
            news *
            (log_bessel_i0(2.0 * a * static_cast<double>(std::abs(tone.z[i])) / v) - a * a / v);
        if (tone.lost[i] != 0 || a * a < kLeastOverNoise * kLeastOverNoise * v) score = -0.5;
        from_up[i] = up >= down - kChangeCost ? 1 : 0;
        from_down[i] = down >= up - kChangeCost ? 1 : 0;
        const double stay_up = std::max(up, down - kChangeCost) + score;
        down = std::max(down, up - kChangeCost);
        up = stay_up;
    }
    std::vector<RoughMark> marks;
    bool is_up = up > down;
    int end = size;
    for (int k = size - 1; k >= 0; --k) {
        const auto i = static_cast<std::size_t>(k);
        const bool before_up = is_up ? from_up[i] != 0 : from_down[i] == 0;
        if (is_up && !before_up) marks.push_back({k, end});
        if (!is_up && before_up) end = k;
        is_up = before_up;
    }
    if (is_up) marks.push_back({0, end});
    std::reverse(marks.begin(), marks.end());
    return marks;
}

void measure_amplitudes(const FineBaseband& tone, std::vector<RoughMark>& marks) {
    for (RoughMark& mark : marks) {
        // Away from the edges where there is room.
        const int trim = std::min(5, mark.length() / 4);
        double sum = 0.0;
        int count = 0;
        for (int k = mark.from + trim; k < mark.to - trim; ++k) {
            sum += static_cast<double>(std::abs(tone.z[static_cast<std::size_t>(k)]));
            ++count;
        }
        mark.amplitude = count > 0 ? sum / count : 0.0;
    }
}

int longest_break(const std::vector<RoughMark>& marks) {
    std::vector<float> lengths;
    for (const RoughMark& mark : marks) {
        if (mark.length() > kLongestBreakMs) lengths.push_back(static_cast<float>(mark.length()));
    }
    if (lengths.empty()) return kLongestBreakMs;
    return std::min(kLongestBreakMs, static_cast<int>(0.25 * quantile_of(lengths, 0.5)));
}

std::vector<RoughMark> join_breaks(const std::vector<RoughMark>& marks) {
    const int longest = longest_break(marks);
    std::vector<RoughMark> joined;
    for (const RoughMark& mark : marks) {
        if (!joined.empty() && mark.from - joined.back().to < longest) {
            joined.back().breaks.push_back({joined.back().to, mark.from});
            joined.back().to = mark.to;
        } else {
            joined.push_back(mark);
        }
    }
    std::erase_if(joined, [](const RoughMark& mark) { return mark.length() < kShortestMarkMs; });
    return joined;
}

}  // namespace

std::vector<RoughMark> find_marks(const FineBaseband& tone) {
    if (tone.size() == 0) return {};
    std::vector<RoughMark> marks = join_breaks(cut(tone, first_level(tone)));
    measure_amplitudes(tone, marks);
    if (marks.size() >= 3) {
        // Clipped dots do not reach their level: it comes from the longer half.
        std::vector<float> lengths;
        for (const RoughMark& mark : marks) lengths.push_back(static_cast<float>(mark.length()));
        const double usual = quantile_of(lengths, 0.5);
        std::vector<RoughMark> longer = marks;
        std::erase_if(longer, [&](const RoughMark& mark) { return mark.length() < 0.8 * usual; });
        marks = join_breaks(cut(tone, level_of_marks(longer, tone.size())));
        measure_amplitudes(tone, marks);
    }
    return marks;
}

}  // namespace skedlark::fist
