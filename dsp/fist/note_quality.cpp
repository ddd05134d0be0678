#include "dsp/fist/note_quality.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace skedlark::fist {
namespace {

constexpr int kFewestMarks8 = 8;
// A rise that falls back by this share of the amplitude and rises again. Tried 0.15 to 0.4: below
// 0.2 noise at 10 dB does it, above 0.3 bounces of 3 ms do not.
constexpr double kFallsBack = 0.25;
constexpr std::array kMainsHz = {50.0, 60.0, 100.0, 120.0};
constexpr std::array kNoMainsHz = {75.0, 80.0, 140.0, 145.0, 155.0, 160.0};

struct Mean {
    double n = 0.0, sum = 0.0, squares = 0.0;
    void add(double value) {
        n += 1.0;
        sum += value;
        squares += value * value;
    }
    [[nodiscard]] double mean() const { return n > 0.0 ? sum / n : 0.0; }
    [[nodiscard]] double error() const {
        if (n < 2.0) return std::numeric_limits<double>::infinity();
        return std::sqrt(std::max(0.0, squares / n - mean() * mean()) / (n - 1.0));
    }
};

struct Span {
    int from = 0, to = 0;
};
Span inside(const FineBaseband& tone, const MeasuredMark& mark, double trim_s) {
    return {
        std::clamp(static_cast<int>(std::ceil((mark.on_s + trim_s) * kFineRateHz)), 0, tone.size()),
        std::clamp(static_cast<int>(std::floor((mark.off_s - trim_s) * kFineRateHz)), 0,
                   tone.size())};
}

double pitch_over(const FineBaseband& tone, int from, int to) {
    std::complex<double> sum{};
    for (int k = std::max(0, from); k + 1 < std::min(to, tone.size()); ++k) {
        sum += std::complex<double>(tone.z[static_cast<std::size_t>(k + 1)]) *
               std::conj(std::complex<double>(tone.z[static_cast<std::size_t>(k)]));
    }
    return std::arg(sum) * kFineRateHz / (2.0 * std::numbers::pi);
}

double level(const FineBaseband& tone, int k) {
    if (k < 0 || k >= tone.size()) return 0.0;
    return static_cast<double>(std::abs(tone.z[static_cast<std::size_t>(k)]));
}

// The envelope of one mark without its mean, Hann-weighed so that what is left of it does not leak.
class Envelope {
 public:
    Envelope(const FineBaseband& tone, const Span& span, double amplitude)
        : from_(span.from), amplitude_(amplitude) {
        const auto n = static_cast<double>(span.to - span.from);
        std::vector<double> hann;
        double weighed = 0.0;
        for (int k = span.from; k < span.to; ++k) {
            hann.push_back(0.5 -
                           0.5 * std::cos(2.0 * std::numbers::pi * (k - span.from + 0.5) / n));
            values_.push_back(level(tone, k));
            weights_ += hann.back();
            weighed += hann.back() * values_.back();
        }
        const double mean = weighed / weights_;
        for (std::size_t i = 0; i < values_.size(); ++i) {
            values_[i] = hann[i] * (values_[i] - mean);
        }
    }
    // Power of its swing at a frequency.
    [[nodiscard]] double swing(double hz) const {
        const double step = -2.0 * std::numbers::pi * hz / kFineRateHz;
        const std::complex<double> turn = std::polar(1.0, step);
        std::complex<double> at = std::polar(1.0, step * from_);
        std::complex<double> sum{};
        for (const double value : values_) {
            sum += value * at;
            at *= turn;
        }
        return std::norm(2.0 * sum / weights_ / amplitude_);
    }

 private:
    int from_;
    double amplitude_;
    std::vector<double> values_;
    double weights_ = 0.0;
};

// How far the amplitude falls back between two higher places in [from, to].
double falls_back(const FineBaseband& tone, int from, int to) {
    double high = 0.0, most = 0.0, low = 1e30, fall_from = 0.0;
    for (int k = from; k <= to; ++k) {
        const double a = level(tone, k);
        if (a > high && low > high) high = a;
        if (high - a > fall_from - low || low > 1e29) {
            if (a < high) {
                low = a;
                fall_from = high;
            }
        }
        if (low < 1e29) most = std::max(most, std::min(fall_from - low, a - low));
        if (a > high) {
            high = a;
            low = 1e30;
            fall_from = 0.0;
        }
    }
    return most;
}

void measure_hum(const FineBaseband& tone, const Keying& keying, NoteQuality& out) {
    std::array<Mean, kMainsHz.size()> lines;
    Mean floor;
    for (const MeasuredMark& mark : keying.marks) {
        if (mark.length_s() < kLongEnoughS || mark.beside_lost) continue;
        const Span span = inside(tone, mark, 0.008);
        const Envelope envelope(tone, span, std::max(mark.amplitude, 1e-12));
        for (std::size_t i = 0; i < kMainsHz.size(); ++i) lines[i].add(envelope.swing(kMainsHz[i]));
        for (const double hz : kNoMainsHz) floor.add(envelope.swing(hz));
    }
    if (lines[0].n < kFewestMarks8) return;
    double best = -1e30;
    for (std::size_t i = 0; i < kMainsHz.size(); ++i) {
        const double over = lines[i].mean() - floor.mean();
        const double error = std::hypot(lines[i].error(), floor.error());
        if (over / error < best) continue;
        best = over / error;
        const double depth = std::sqrt(std::max(0.0, over));
        out.hum_hz = kMainsHz[i];
        // The error is that of the power, carried over so that their quotient stays.
        out.hum_depth = {depth,
                         best > 0.0 ? depth / best : std::numeric_limits<double>::infinity()};
    }
}

void measure_bounce(const FineBaseband& tone, const Keying& keying, NoteQuality& out) {
    int marks = 0, bounces = 0, controls = 0, seeming = 0;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        const MeasuredMark& mark = keying.marks[i];
        if (mark.beside_lost || mark.length_s() < 0.025) continue;
        const double amplitude = std::max(mark.amplitude, 1e-12);
        const int on = static_cast<int>(std::lround(mark.on_s * kFineRateHz));
        const bool room = i == 0 || keying.gap_s(i - 1) > 0.02;
        ++marks;
        if (falls_back(tone, on - (room ? 14 : 5), on + 18) > kFallsBack * amplitude) {
            ++bounces;
            if (out.first_bounce_s < 0.0) out.first_bounce_s = mark.on_s;
        }
        if (mark.length_s() < kLongEnoughS) continue;
        const int middle =
            static_cast<int>(std::lround(0.5 * (mark.on_s + mark.off_s) * kFineRateHz));
        ++controls;
        seeming += falls_back(tone, middle - 16, middle + 16) > kFallsBack * amplitude ? 1 : 0;
    }
    if (marks < kFewestMarks8 || controls < kFewestMarks8) return;
    const double share = static_cast<double>(bounces) / marks;
    // One more on either side, so that none seen is not taken for none possible.
    const double seems = (seeming + 1.0) / (controls + 1.0);
    const double both = (bounces + seeming + 1.0) / (marks + controls + 1.0);
    out.bounce_share = {share - static_cast<double>(seeming) / controls,
                        std::sqrt(both * (1.0 - both) * (1.0 / marks + 1.0 / controls))};
    if (share < seems) out.bounce_share.value = 0.0;
}

}  // namespace

NoteQuality note_quality(const FineBaseband& tone, const Keying& keying) {
    NoteQuality out;
    Mean chirp;
    for (const MeasuredMark& mark : keying.marks) {
        if (mark.length_s() < kLongEnoughS || mark.beside_lost) continue;
        const Span span = inside(tone, mark, 0.005);
        const double begun = pitch_over(tone, span.from, span.from + 15);
        const double ended = pitch_over(tone, span.to - 25, span.to);
        chirp.add(begun - ended);
    }
    if (chirp.n >= kFewestMarks8) out.chirp_hz = {chirp.mean(), chirp.error()};
    measure_hum(tone, keying, out);
    measure_bounce(tone, keying, out);
    return out;
}

}  // namespace skedlark::fist
