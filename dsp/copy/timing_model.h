// How long marks and gaps last in one hand at one speed: log-normal lengths, counted in frames.
//
// Stage:   copy.
// Units:   lengths in baseband frames; cv is standard deviation over mean.
// Shape:   LengthTable::odds[i] is the chance of length first + i frames.
// Errors:  none.
// Threads: values.
// Source:  ITU-R M.1677-1 (1 3 1 3 7); log-normal lengths: common practice, no source.
// Checked: tests/dsp/copy/timing_model_test.cpp
#pragma once

#include <cstdint>
#include <vector>

namespace skedlark::copy {

struct Length {
    double mean_frames = 0.0;
    double cv = 0.0;
};

// What a hand does: the five lengths. The standard at a speed is standard_timing().
struct Timing {
    Length dot, dash, element_gap, character_gap, word_gap;
};

// Evenness and proportions of a kind of hand, lengths in dots.
struct Hand {
    double dash, element_gap, character_gap, word_gap;  // means, dots
    double dot_cv, dash_cv, element_gap_cv, character_gap_cv, word_gap_cv;
};

[[nodiscard]] Timing timing_of(const Hand& hand, double dot_frames);
// The same hand at another speed.
[[nodiscard]] Timing scaled(const Timing& timing, double factor);
// Enough for new tables of lengths: means by 0.4 %, spreads by 3 %.
[[nodiscard]] bool differ(const Timing& a, const Timing& b);

// Proportions a search starts from, before it has heard this hand.
[[nodiscard]] const Hand& machine();     // the standard to the letter
[[nodiscard]] const Hand& even_hand();   // a machine or a good hand, speed known to a few per cent
[[nodiscard]] const Hand& loose_hand();  // gaps stretched, uneven

struct LengthTable {
    int first = 1;
    std::vector<float> odds;
    std::vector<float> at_least;  // chance of length first + i frames or more
    // Chance that a length is at least so many frames.
    [[nodiscard]] float survival(std::int64_t frames) const {
        return frames <= first   ? 1.0F
               : frames > last() ? 0.0F
                                 : at_least[static_cast<std::size_t>(frames - first)];
    }
    [[nodiscard]] int last() const { return first + static_cast<int>(odds.size()) - 1; }
};

// Log-normal with a few per cent of wider scatter, integrated over each frame, cut where it falls
// below 3e-4 of its peak. A further spread of kEdgeFrames covers edges that fall between frames and
// are smeared by the filter.
[[nodiscard]] LengthTable length_table(const Length& length);

// Keying without Morse lengths: marks and gaps end at random, as in speech, music, a carrier that
// comes and goes. Geometric, from `first` to `last` frames.
[[nodiscard]] LengthTable stray_table(double mean_frames, int first, int last);
inline constexpr double kStrayMarkDots = 2.0;  // means, in dots of the hand it competes with
inline constexpr double kStrayGapDots = 2.5;
// Only a mark longer than any dash may follow another without a gap: a carrier, not a mark cut in
// pieces.
inline constexpr double kStrayChainDots = 4.5;
inline constexpr double kStrayChainOdds = 0.2;
// No mark or gap of it is shorter than this: a mark must not be cut where its phase slips.
inline constexpr double kStrayLeastDots = 0.5;
[[nodiscard]] inline int stray_least(double dot_frames) {
    return dot_frames * kStrayLeastDots < 2.0 ? 2 : static_cast<int>(dot_frames * kStrayLeastDots);
}

}  // namespace skedlark::copy
