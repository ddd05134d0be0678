#include "dsp/copy/speed_scan.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <span>

#include "dsp/copy/length_sum.h"
#include "dsp/core/units.h"

namespace skedlark::copy {
namespace {

// Kinds of gap and mark in traffic: 23 gaps inside characters to 10 between them and 2.5 between
// words, 17 dots to 16 dashes (code table, letters and figures equally likely, words of five).
constexpr float kDotShare = 0.52F;
constexpr float kElementShare = 0.66F;
constexpr float kCharacterShare = 0.27F;
constexpr float kWordShare = 0.07F;
// Chance a frame that sending begins, and that it pauses after a character.
constexpr double kStartOdds = 1.0 / 1000.0;
constexpr double kPauseOdds = 0.02;
// No mark shorter than this is looked for: a dot at 60 wpm is 4 frames.
constexpr int kShortestMark = 2;
// How far under the best speed of a loose hand, in natural logarithms, and how far from it,
// relative, an even hand is tried; and the step of the pace of keying that is no Morse.
constexpr double kNearEvidence = 20.0;
constexpr double kNearSpeed = 0.23;
constexpr double kStrayStep = 1.6;

// Factors shared by all speeds: evidence of each mark and gap relative to a running best score, so
// that single-precision products stay in range.
class SharedFactors {
 public:
    SharedFactors(const MarkEvidence& evidence, std::int64_t from, std::int64_t to,
                  int longest_mark, int longest_gap)
        : frames_(static_cast<int>(to - from)),
          longest_mark_(std::min(longest_mark, frames_)),
          longest_gap_(std::min(longest_gap, frames_)),
          best_(static_cast<std::size_t>(frames_) + 1, 0.0),
          last_mark_(static_cast<std::size_t>(frames_) + 1, 0),
          mark_(static_cast<std::size_t>(frames_ + 1) * (longest_mark_ + 1), 0.0F),
          gap_(static_cast<std::size_t>(frames_ + 1) * (longest_gap_ + 1), 0.0F) {
        std::vector<float> ratio(static_cast<std::size_t>(longest_mark_));
        for (int t = 1; t <= frames_; ++t) {
            best_[t] = best_[t - 1];
            const int marks = evidence.log_ratios(
                from + t,
                std::span(ratio).first(static_cast<std::size_t>(std::min(longest_mark_, t))));
            const auto score_of = [&](int length) {
                return static_cast<double>(ratio[length - 1]) + best_[t - length];
            };
            for (int length = kShortestMark; length <= marks; ++length) {
                best_[t] = std::max(best_[t], score_of(length));
            }
            last_mark_[t] = marks;
            for (int length = kShortestMark; length <= marks; ++length) {
                const double score = score_of(length) - best_[t];
                mark_[index(t, length, longest_mark_)] =
                    score < -60.0 ? 0.0F : std::exp(static_cast<float>(score));
            }
            fill_gaps(t);
        }
    }
    [[nodiscard]] int frames() const { return frames_; }
    [[nodiscard]] int longest_mark() const { return longest_mark_; }
    [[nodiscard]] int longest_gap() const { return longest_gap_; }
    [[nodiscard]] double best(int t) const { return best_[t]; }
    // exp(best(t - 1) - best(t))
    [[nodiscard]] double step(int t) const { return static_cast<double>(gap(t)[1]); }
    // The longest mark that may end at t.
    [[nodiscard]] int last_mark(int t) const { return last_mark_[t]; }
    [[nodiscard]] const float* mark(int t) const { return &mark_[index(t, 0, longest_mark_)]; }
    [[nodiscard]] const float* gap(int t) const { return &gap_[index(t, 0, longest_gap_)]; }

 private:
    // A gap is one of a frame less before, and this frame's step of the best.
    void fill_gaps(int t) {
        const float step = std::exp(static_cast<float>(best_[t - 1] - best_[t]));
        const float* before = &gap_[index(t - 1, 0, longest_gap_)];
        float* here = &gap_[index(t, 0, longest_gap_)];
        here[1] = step;
        for (int length = 2; length <= std::min(longest_gap_, t); ++length) {
            here[length] = step * before[length - 1];
        }
    }
    static std::size_t index(int t, int length, int longest) {
        return static_cast<std::size_t>(t) * (longest + 1) + length;
    }
    int frames_, longest_mark_, longest_gap_;
    std::vector<double> best_;
    std::vector<int> last_mark_;
    std::vector<float> mark_, gap_;
};

// Adds share * odds to out[length], so that one table holds all marks (or gaps) of a hand.
void add_lengths(std::vector<float>& out, const Length& length, float share) {
    const LengthTable table = length_table(length);
    if (static_cast<int>(out.size()) <= table.last()) {
        out.resize(static_cast<std::size_t>(table.last()) + 1, 0.0F);
    }
    for (std::size_t i = 0; i < table.odds.size(); ++i) {
        out[static_cast<std::size_t>(table.first) + i] += share * table.odds[i];
    }
}

// Sum over lengths from least to longest of history[t - length] * odds[length] * factor[length].
double convolve(const std::vector<float>& history, int t, const std::vector<float>& odds,
                const float* factor, int least, int longest) {
    const int last = std::min({static_cast<int>(odds.size()) - 1, longest, t});
    if (last < least) {
        return 0.0;
    }
    return static_cast<double>(sum_over_lengths(history.data() + t - least, odds.data() + least,
                                                factor + least, last - least + 1));
}

// Lengths of all marks and of all gaps of one way of keying.
struct Keying {
    std::vector<float> marks, gaps;
    // Odds that a mark goes on in another of at least so many frames without a gap.
    float chain = 0.0F;
    int chain_least = 0;
};

Keying keying_of(const Timing& timing) {
    Keying keying;
    add_lengths(keying.marks, timing.dot, kDotShare);
    add_lengths(keying.marks, timing.dash, 1.0F - kDotShare);
    add_lengths(keying.gaps, timing.element_gap, kElementShare);
    add_lengths(keying.gaps, timing.character_gap, kCharacterShare);
    add_lengths(keying.gaps, timing.word_gap, kWordShare);
    return keying;
}

Keying stray_keying(double dot_frames, int longest) {
    const auto table = [&](double mean, int first) {
        const int last = std::min(longest, static_cast<int>(std::ceil(4.0 * mean)));
        std::vector<float> odds(static_cast<std::size_t>(first), 0.0F);
        const LengthTable lengths = stray_table(mean, first, std::max(first, last));
        odds.insert(odds.end(), lengths.odds.begin(), lengths.odds.end());
        return odds;
    };
    return {table(kStrayMarkDots * dot_frames, stray_least(dot_frames)),
            table(kStrayGapDots * dot_frames, stray_least(dot_frames)),
            static_cast<float>(kStrayChainOdds), static_cast<int>(kStrayChainDots * dot_frames)};
}

double log_evidence(const SharedFactors& shared, const Keying& keying) {
    const auto& [marks, gaps, chain, chain_least] = keying;
    const int frames = shared.frames();
    // Odds, relative to exp(best), that a mark (gap) ends at t; that nothing is being sent at t.
    std::vector<float> mark_end(static_cast<std::size_t>(frames) + 1), mark_begin(mark_end.size());
    double idle = 1.0;
    double scale = 0.0;  // log of what was divided out
    for (int t = 0; t <= frames; ++t) {
        double mark = 0.0;
        double gap = 0.0;
        if (t > 0) {
            const double step = shared.step(t);
            mark = convolve(mark_begin, t, marks, shared.mark(t), 1, shared.last_mark(t));
            if (chain > 0.0F) {
                mark += static_cast<double>(chain) * convolve(mark_end, t, marks, shared.mark(t),
                                                              chain_least, shared.last_mark(t));
            }
            gap = convolve(mark_end, t, gaps, shared.gap(t), 1, shared.longest_gap());
            idle = step *
                   (idle * (1.0 - kStartOdds) + kPauseOdds * static_cast<double>(mark_end[t - 1]));
        }
        mark_end[t] = static_cast<float>(mark);
        mark_begin[t] = static_cast<float>(gap + kStartOdds * idle);
        const double most = std::max({mark, gap, idle});
        if (most > 0.0 && most < 1e-12) {
            // The running best is too good for this hand here; bring it back into range.
            const int window = std::min(t, std::max(shared.longest_gap(), shared.longest_mark()));
            const auto lift = static_cast<float>(1.0 / most);
            for (int i = t - window; i <= t; ++i) {
                mark_end[i] = std::min(mark_end[i] * lift, 1e20F);
                mark_begin[i] = std::min(mark_begin[i] * lift, 1e20F);
            }
            idle /= most;
            scale += std::log(most);
        }
    }
    // Whatever is under way at the end may go on: the last longest gap's worth of endings all
    // count.
    double total = idle;
    const int window = std::min(frames, static_cast<int>(gaps.size()));
    for (int t = frames - window; t <= frames; ++t) {
        total += std::exp(shared.best(t) - shared.best(frames)) * static_cast<double>(mark_end[t]);
        const int length = frames - t;
        if (length <= shared.longest_mark()) {
            const double factor = length < kShortestMark
                                      ? std::exp(shared.best(t) - shared.best(frames))
                                      : static_cast<double>(shared.mark(frames)[length]);
            total += static_cast<double>(mark_begin[t]) * factor;
        }
    }
    return std::log(std::max(total, 1e-300)) + scale + shared.best(frames);
}

}  // namespace

SpeedRange SpeedRange::all() {
    return {dit_s(kMaxSpeedWpm) * tone::kBasebandRateHz,
            dit_s(kMinSpeedWpm) * tone::kBasebandRateHz};
}

SpeedRange SpeedRange::about(double speed_wpm) {
    const double dot_frames = dit_s(speed_wpm) * tone::kBasebandRateHz;
    return {dot_frames * 0.75, dot_frames * 4.0 / 3.0};
}

SpeedScan scan_speeds(const MarkEvidence& evidence, std::int64_t from, std::int64_t to,
                      const SpeedRange& range, const Timing* current) {
    const auto longest_mark = static_cast<int>(range.most_dot_frames * 5.0);
    const auto longest_gap = static_cast<int>(range.most_dot_frames * 14.0);
    const SharedFactors shared(evidence, from, to, longest_mark, longest_gap);
    SpeedScan scan;
    const auto score = [&](double dot_frames, bool loose) {
        SpeedScore out{dot_frames, loose, 0.0};
        out.log_evidence = log_evidence(shared, keying_of(out.timing()));
        return out;
    };
    const auto steps = static_cast<int>(
        std::ceil(std::log(range.most_dot_frames / range.least_dot_frames) / kSpeedStep));
    double best_loose = -std::numeric_limits<double>::infinity();
    for (int i = 0; i <= steps; i += 2) {
        scan.scores.push_back(score(range.least_dot_frames * std::exp(kSpeedStep * i), true));
        best_loose = std::max(best_loose, scan.scores.back().log_evidence);
    }
    // An even hand is looked for only near speeds at which a loose one is likely.
    const std::vector<SpeedScore> loose = scan.scores;
    for (int i = 0; i <= steps; ++i) {
        const double dot_frames = range.least_dot_frames * std::exp(kSpeedStep * i);
        const bool near = std::any_of(loose.begin(), loose.end(), [&](const SpeedScore& s) {
            return s.log_evidence > best_loose - kNearEvidence &&
                   std::abs(std::log(s.dot_frames / dot_frames)) < kNearSpeed;
        });
        if (near) {
            scan.scores.push_back(score(dot_frames, false));
        }
    }
    std::sort(scan.scores.begin(), scan.scores.end(),
              [](const auto& a, const auto& b) { return a.log_evidence > b.log_evidence; });
    if (current != nullptr) {
        scan.current_evidence = log_evidence(shared, keying_of(*current));
    }
    scan.stray_evidence = -std::numeric_limits<double>::infinity();
    // Of any speed: a speed told wrong must not leave Morse as the only way to explain the keying.
    const SpeedRange all = SpeedRange::all();
    for (double dot = all.least_dot_frames; dot <= range.most_dot_frames; dot *= kStrayStep) {
        scan.stray_evidence =
            std::max(scan.stray_evidence, log_evidence(shared, stray_keying(dot, longest_mark)));
    }
    return scan;
}

}  // namespace skedlark::copy
