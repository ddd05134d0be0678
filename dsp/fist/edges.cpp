#include "dsp/fist/edges.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace skedlark::fist {
namespace {

// The template: kReachMs to each side of the half, kPerMs points a millisecond.
constexpr int kReachMs = 20;
constexpr int kPerMs = 2;
constexpr int kPoints = 2 * kReachMs * kPerMs + 1;
// The phase of a mark is a straight line over so much of it beside the edge: longer, and a chirp
// bends it; shorter, and noise turns it.
constexpr int kPhaseMs = 20;
constexpr int kPasses = 4;
constexpr int kNewtonSteps = 5;
// As many edges of a usual kind stand for the template where there are few.
constexpr double kUsualEdges = 3.0;
constexpr double kUsualRiseMs = 5.0;
constexpr double kMostMovedMs = 8.0;
// Gaps are silent from here on after an edge.
constexpr int kSettledMs = 15;
constexpr int kLeastNoiseFrames = 100;

using Template = std::array<double, kPoints>;

// One edge, its time running so that the amplitude always rises.
struct Edge {
    double at = 0.0;       // fine frames
    double direction = 1;  // +1: the mark begins, -1: it ends
    double before = 0.0;   // room in the gap and in the mark, frames
    double after = 0.0;
    double amplitude = 1.0;
    double phase = 0.0;  // of the mark, at `phase_at`
    double phase_at = 0.0;
    double turn = 0.0;   // radians a frame
    double noise = 1.0;  // E|noise|^2
    double sd = 0.0;     // frames
};

std::complex<double> smooth_at(const FineBaseband& tone, int k) {
    std::complex<double> sum{};
    for (int n = std::max(0, k - 2); n <= std::min(tone.size() - 1, k + 2); ++n) {
        sum += std::complex<double>(tone.z[static_cast<std::size_t>(n)]);
    }
    return sum;
}

// The part of z in phase with the mark, over its amplitude.
double in_phase(const FineBaseband& tone, const Edge& edge, int k) {
    if (k < 0 || k >= tone.size()) return 0.0;
    const double angle = edge.phase + edge.turn * (k - edge.phase_at);
    const std::complex<double> z(tone.z[static_cast<std::size_t>(k)]);
    return (z.real() * std::cos(angle) + z.imag() * std::sin(angle)) / edge.amplitude;
}

// Catmull-Rom between frames: z holds nothing above 400 Hz.
double in_phase_between(const FineBaseband& tone, const Edge& edge, double at) {
    const double whole = std::floor(at);
    const double x = at - whole;
    const int k = static_cast<int>(whole);
    const double a = in_phase(tone, edge, k - 1);
    const double b = in_phase(tone, edge, k);
    const double c = in_phase(tone, edge, k + 1);
    const double d = in_phase(tone, edge, k + 2);
    return b +
           0.5 * x * (c - a + x * (2.0 * a - 5.0 * b + 4.0 * c - d + x * (3.0 * (b - c) + d - a)));
}

// Straight line through the phase of the mark beside the edge, weighed by power.
void fit_phase(const FineBaseband& tone, const RoughMark& mark, Edge& edge) {
    const int take = std::min(kPhaseMs, mark.length());
    // The foot of the edge has no phase to speak of.
    const int skip = mark.length() > 16 ? 4 : mark.length() / 4;
    const int from = edge.direction > 0 ? mark.from + skip : mark.to - take;
    const int to = edge.direction > 0 ? mark.from + take : mark.to - skip;
    double before = 0.0;
    double unwrapped = 0.0;
    double sw = 0.0, st = 0.0, sp = 0.0, stt = 0.0, stp = 0.0;
    for (int k = from; k < std::max(to, from + 1); ++k) {
        const std::complex<double> z = smooth_at(tone, std::clamp(k, 0, tone.size() - 1));
        const double angle = std::arg(z);
        unwrapped =
            k == from ? angle : unwrapped + std::remainder(angle - before, 2.0 * std::numbers::pi);
        before = angle;
        const double w = std::norm(z);
        const double t = k - from;
        sw += w;
        st += w * t;
        sp += w * unwrapped;
        stt += w * t * t;
        stp += w * t * unwrapped;
    }
    if (sw <= 0.0) return;
    const double middle = st / sw;
    const double spread = stt - middle * st;
    edge.turn = spread > 1e-9 * sw && to - from >= 8 ? (stp - middle * sp) / spread : 0.0;
    edge.phase = sp / sw;
    edge.phase_at = from + middle;
}

Template usual_edge() {
    Template out{};
    for (int i = 0; i < kPoints; ++i) {
        const double u = static_cast<double>(i) / kPerMs - kReachMs;
        const double x = std::clamp(u * 0.295 / (0.5 * kUsualRiseMs), -0.5, 0.5);
        out[static_cast<std::size_t>(i)] = 0.5 + 0.5 * std::sin(std::numbers::pi * x);
    }
    return out;
}

struct Slope {
    double value = 0.0;
    double slope = 0.0;  // a millisecond
};
Slope look_up(const Template& shape, double u) {
    const double place = std::clamp((u + kReachMs) * kPerMs, 1.0, kPoints - 2.001);
    const auto i = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(i);
    const double here = shape[i];
    const double step = shape[i + 1] - here;
    const double slope_here = 0.5 * (shape[i + 1] - shape[i - 1]) * kPerMs;
    const double slope_next = 0.5 * (shape[std::min(i + 2, shape.size() - 1)] - here) * kPerMs;
    return {here + part * step, slope_here + part * (slope_next - slope_here)};
}

double crossing(const Template& shape, double level) {
    // From the half outwards the first time it is passed.
    for (int i = 1; i < kPoints; ++i) {
        const double a = shape[static_cast<std::size_t>(i - 1)];
        const double b = shape[static_cast<std::size_t>(i)];
        if (a < level && b >= level) {
            return (i - 1 + (level - a) / (b - a)) / kPerMs - kReachMs;
        }
    }
    return 0.0;
}

// The mean of all edges as they lie now; its own half is brought to 0.
Template average(const FineBaseband& tone, std::span<Edge* const> edges) {
    const Template usual = usual_edge();
    Template sum{};
    std::array<double, kPoints> weight{};
    for (int i = 0; i < kPoints; ++i) {
        const auto at = static_cast<std::size_t>(i);
        sum[at] = kUsualEdges * usual[at];
        weight[at] = kUsualEdges;
    }
    for (const Edge* edge : edges) {
        for (int i = 0; i < kPoints; ++i) {
            const double u = static_cast<double>(i) / kPerMs - kReachMs;
            if (u < -edge->before || u > edge->after) continue;
            const auto at = static_cast<std::size_t>(i);
            sum[at] += in_phase_between(tone, *edge, edge->at + edge->direction * u);
            weight[at] += 1.0;
        }
    }
    for (int i = 0; i < kPoints; ++i)
        sum[static_cast<std::size_t>(i)] /= weight[static_cast<std::size_t>(i)];
    Template smooth = sum;
    for (std::size_t i = 1; i + 1 < smooth.size(); ++i) {
        smooth[i] = 0.25 * sum[i - 1] + 0.5 * sum[i] + 0.25 * sum[i + 1];
    }
    // Floor and plateau as they are far from the edge.
    double plateau = 0.0;
    constexpr int kFar = 10 * kPerMs;
    for (int i = 0; i < kFar; ++i)
        plateau += smooth[static_cast<std::size_t>(kPoints - 1 - i)] / kFar;
    if (plateau > 0.2) {
        for (double& value : smooth) value /= plateau;
    }
    const double half = crossing(smooth, 0.5);
    Template centred{};
    for (int i = 0; i < kPoints; ++i) {
        const double u = static_cast<double>(i) / kPerMs - kReachMs;
        centred[static_cast<std::size_t>(i)] = look_up(smooth, u + half).value;
    }
    return centred;
}

// Time and amplitude of one edge by least squares against the template.
void fit(const FineBaseband& tone, const Template& shape, double started_at, Edge& edge) {
    for (int step = 0; step < kNewtonSteps; ++step) {
        double gg = 0.0, gs = 0.0, ss = 0.0, gr = 0.0, sr = 0.0;
        const int from =
            static_cast<int>(std::ceil(edge.at - (edge.direction > 0 ? edge.before : edge.after)));
        const int to =
            static_cast<int>(std::floor(edge.at + (edge.direction > 0 ? edge.after : edge.before)));
        for (int k = from; k <= to; ++k) {
            const double u = edge.direction * (k - edge.at);
            const Slope model = look_up(shape, u);
            const double r = in_phase(tone, edge, k);
            gg += model.value * model.value;
            gs += model.value * model.slope;
            ss += model.slope * model.slope;
            gr += model.value * r;
            sr += model.slope * r;
        }
        // r = c g(u) - c d s(u) for an edge that comes d later in its own time.
        const double determinant = gg * ss - gs * gs;
        if (!(determinant > 1e-9) || !(ss > 1e-9)) return;
        const double c = (gr * ss - sr * gs) / determinant;
        const double cd = (sr * gg - gr * gs) / determinant;
        if (!(c > 0.1)) return;
        const double later = std::clamp(-cd / c, -3.0, 3.0);
        edge.at = std::clamp(edge.at + edge.direction * later, started_at - kMostMovedMs,
                             started_at + kMostMovedMs);
        const double noise_of_each = 0.5 * edge.noise / (edge.amplitude * edge.amplitude);
        const double density = noise_of_each * kFineRateHz / fine_noise_hz();
        edge.sd = std::sqrt(density * gg / determinant) / c;
        if (std::abs(later) < 1e-3) return;
    }
}

// Mean power of the gap's settled part.
struct Silence {
    double sum = 0.0;
    int frames = 0;
};
std::vector<Silence> silences(const FineBaseband& tone, std::span<const RoughMark> marks) {
    std::vector<Silence> out;
    for (std::size_t i = 0; i <= marks.size(); ++i) {
        Silence one;
        // Of a long pause only what is near the marks: noise may change.
        int from = (i == 0 ? std::max(0, marks[0].from - 1000) : marks[i - 1].to) + kSettledMs;
        int to =
            (i == marks.size() ? std::min(tone.size(), marks[i - 1].to + 1000) : marks[i].from) -
            kSettledMs;
        for (int k = from; k < to; ++k) {
            if (tone.lost[static_cast<std::size_t>(k)] != 0) continue;
            one.sum += std::norm(std::complex<double>(tone.z[static_cast<std::size_t>(k)]));
            ++one.frames;
        }
        out.push_back(one);
    }
    return out;
}

double noise_near(const FineBaseband& tone, const RoughMark& mark, std::span<const Silence> silence,
                  std::size_t index) {
    constexpr std::size_t kEachSide = 8;
    double sum = 0.0;
    int frames = 0;
    const std::size_t from = index > kEachSide ? index - kEachSide : 0;
    for (std::size_t i = from; i < std::min(silence.size(), index + kEachSide + 2); ++i) {
        sum += silence[i].sum;
        frames += silence[i].frames;
    }
    if (frames < kLeastNoiseFrames) {
        return static_cast<double>(tone.noise_variance[static_cast<std::size_t>(mark.from)]);
    }
    return sum / frames;
}

struct Pair {
    Edge on, off;
};

std::vector<Pair> begin(const FineBaseband& tone, std::span<const RoughMark> marks) {
    const std::vector<Silence> silence = silences(tone, marks);
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const RoughMark& mark = marks[i];
        const double gap_before = i == 0 ? 1000.0 : mark.from - marks[i - 1].to;
        const double gap_after = i + 1 == marks.size() ? 1000.0 : marks[i + 1].from - mark.to;
        const double room = std::min<double>(kReachMs, 0.5 * mark.length());
        Pair pair;
        pair.on.amplitude = pair.off.amplitude = std::max(mark.amplitude, 1e-12);
        pair.on.noise = pair.off.noise = noise_near(tone, mark, silence, i);
        pair.on.after = pair.off.after = room;
        pair.on.before = std::min<double>(kReachMs, 0.5 * gap_before);
        pair.off.before = std::min<double>(kReachMs, 0.5 * gap_after);
        // A break beside the edge is no part of it.
        if (!mark.breaks.empty()) {
            pair.on.after =
                std::min<double>(room, std::max(2, mark.breaks.front().from - mark.from));
            pair.off.after = std::min<double>(room, std::max(2, mark.to - mark.breaks.back().to));
        }
        pair.on.direction = 1.0;
        pair.off.direction = -1.0;
        fit_phase(tone, mark, pair.on);
        fit_phase(tone, mark, pair.off);
        pair.on.at = mark.from - 0.5;
        pair.off.at = mark.to - 0.5;
        pairs.push_back(pair);
    }
    return pairs;
}

void fit_all(const FineBaseband& tone, std::vector<Pair>& pairs, Template& rise, Template& fall) {
    std::vector<double> on_start, off_start;
    std::vector<Edge*> on_clean, off_clean;
    for (Pair& pair : pairs) {
        on_start.push_back(pair.on.at);
        off_start.push_back(pair.off.at);
        // Only edges with room on both sides teach the template.
        if (pair.on.after >= 12.0 && pair.on.before >= 8.0) on_clean.push_back(&pair.on);
        if (pair.off.after >= 12.0 && pair.off.before >= 8.0) off_clean.push_back(&pair.off);
    }
    rise = fall = usual_edge();
    for (int pass = 0; pass < kPasses; ++pass) {
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            fit(tone, rise, on_start[i], pairs[i].on);
            fit(tone, fall, off_start[i], pairs[i].off);
        }
        if (pass + 1 == kPasses) break;
        rise = average(tone, on_clean);
        fall = average(tone, off_clean);
    }
}

double ten_to_ninety_s(const Template& shape) {
    return (crossing(shape, 0.9) - crossing(shape, 0.1)) / 1000.0;
}

bool touches_lost(const FineBaseband& tone, const RoughMark& mark) {
    const int from = std::max(0, mark.from - 10);
    const int to = std::min(tone.size(), mark.to + 10);
    return std::any_of(tone.lost.begin() + from, tone.lost.begin() + to,
                       [](char lost) { return lost != 0; });
}

double median(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

}  // namespace

Keying measure_edges(const FineBaseband& tone, std::span<const RoughMark> marks) {
    Keying out;
    if (marks.empty()) return out;
    std::vector<Pair> pairs = begin(tone, marks);
    Template rise{}, fall{};
    fit_all(tone, pairs, rise, fall);
    std::vector<double> ratios;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        MeasuredMark mark;
        mark.on_s = pairs[i].on.at / kFineRateHz;
        mark.off_s = std::max(pairs[i].off.at, pairs[i].on.at + 0.5) / kFineRateHz;
        mark.on_sd_s = pairs[i].on.sd / kFineRateHz;
        mark.off_sd_s = pairs[i].off.sd / kFineRateHz;
        mark.amplitude = marks[i].amplitude;
        mark.breaks = static_cast<int>(marks[i].breaks.size());
        if (mark.breaks > 0) {
            mark.first_break_s = (marks[i].breaks.front().from - marks[i].from) / kFineRateHz;
        }
        mark.beside_lost = touches_lost(tone, marks[i]);
        out.marks.push_back(mark);
        const double density = pairs[i].on.noise / fine_noise_hz() / 2.0;
        ratios.push_back(0.5 * mark.amplitude * mark.amplitude /
                         std::max(density * kReferenceBandwidthHz, 1e-30));
    }
    out.snr_2500hz_db = db_from_power(std::max(1e-12, median(ratios)));
    if (marks.size() >= 8) {
        out.rise_s = ten_to_ninety_s(rise);
        out.fall_s = ten_to_ninety_s(fall);
    }
    return out;
}

}  // namespace skedlark::fist
