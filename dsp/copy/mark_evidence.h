// How much a stretch of frames speaks for a mark rather than for noise.
//
// Stage:   copy. In: baseband frames and the level expected at each. Out: log-likelihood ratios.
// Units:   natural logarithms; amplitudes as in BasebandFrame.
// Shape:   frames are counted from 0 since reset(); only the last `capacity` can be asked for.
// Time:    log_ratio(from, to) covers frames from <= i < to; one subtraction, whatever the length.
//          log_ratios() gives those of all marks that end at one boundary, several at a time.
// Errors:  none.
// Threads: one thread per instance; append(), log_ratio() and log_ratios() do not allocate.
// Source:  a mark with sum S = sum(a z / v) and weight W = sum(a^2 / v): known level and unknown
//          phase give ln I0(2 |S|) - W, a complex Gaussian gain of mean power a^2 gives |S|^2 / (1
//          + W) - ln(1 + W) (Van Trees, Detection, Estimation and Modulation Theory I, section
//          4.4). Where the note does not keep its pitch, the quarters of a mark are added up
//          without their phases; where it does not keep its phase, short stretches.
// Checked: tests/dsp/copy/mark_evidence_test.cpp
#pragma once

#include <array>
#include <complex>
#include <cstdint>
#include <span>
#include <vector>

#include "dsp/copy/gain_model.h"
#include "dsp/copy/mark_readings.h"
#include "dsp/tone/frame.h"

namespace skedlark::copy {

// How the readings of a mark are mixed; shares add to 1.
struct MarkMix {
    double steady = 0.58;   // level as expected
    double fading = 0.08;   // level anywhere about the expected mean power
    double turning = 0.02;  // the phase turns slowly: the pitch lies beside the one taken to 0 Hz
    double rough = 0.01;    // the phase does not hold through the mark
    double torn = 0.01;     // neither phase nor level hold from frame to frame: chirp, raw note
    double carried = 0.3;   // level and phase go on from the marks around it
};

// A mark this much less likely than noise, in natural logarithms, holds a gap: neither it nor any
// longer one that ends with it can be worth more than the same marks with that gap between them.
inline constexpr double kHopelessMark = -25.0;

// How fast a gain changes of which nothing is known yet, as in GainModel.
inline constexpr double kUsualChangesPerS = 0.6;
inline constexpr int kLongestMark = 319;  // frames; a slow dash at 4 wpm

class MarkEvidence {
 public:
    explicit MarkEvidence(int capacity);
    void reset();
    // amplitude: the level a mark would have here, above 0.
    void append(const tone::BasebandFrame& frame, double amplitude);
    // Turns the frames from `from` to the end back by so many radians more each, the first not;
    // relevel() must follow.
    void turn_back(std::int64_t from, double turn_a_frame);
    // Gives the frames from `from` to the end a new level.
    void relevel(std::int64_t from, double amplitude);

    [[nodiscard]] std::int64_t size() const { return size_; }
    [[nodiscard]] std::int64_t oldest() const;
    [[nodiscard]] double log_ratio(std::int64_t from, std::int64_t to) const;
    // Scores of the marks of 1, 2 ... frames that end at `to`, out[length - 1] each, up to
    // out.size() and kLongestMark frames and no further back than oldest(). Returns how many are
    // there: a hopeless one and all that are longer are left out.
    // carried: by length, as GainScores gives them; empty where nothing is known of the marks around.
    // quick: a mark whose phase turns is read as steady.
    int log_ratios(std::int64_t to, std::span<float> out, std::span<const float> carried = {},
                   bool quick = false) const;
    // What a mark that begins (ends) at a boundary may expect of its gain from what was heard
    // before (after) it. A boundary of which this was not said expects the usual level.
    void expect_gain(std::int64_t boundary, const GainState& before, const GainMessage& after) {
        foreseen_[slot(boundary)] = {before, after};
    }
    void expect_changes(const GainModel& model) { gain_model_ = model; }
    // Frames appended from now on come from a tone that fades.
    void expect_fading(bool fading) { fading_ = fading; }
    [[nodiscard]] const GainState& gain_before(std::int64_t boundary) const {
        return foreseen_[slot(boundary)].before;
    }
    [[nodiscard]] const GainMessage& gain_after(std::int64_t boundary) const {
        return foreseen_[slot(boundary)].after;
    }
    [[nodiscard]] const GainModel& gain_model() const { return gain_model_; }
    // Score of a mark whose gain goes on from the marks around it.
    [[nodiscard]] double carried(std::int64_t from, std::int64_t to) const;
    // The frame as it is weighed, and its noise variance, static counted in; 0 where it is not
    // heard.
    struct Heard {
        std::complex<double> z;
        double noise;
    };
    [[nodiscard]] const Heard& heard(std::int64_t i) const { return heard_[slot(i)]; }
    // Which of the readings carries a mark here, as shares.
    [[nodiscard]] MarkMix shares(std::int64_t from, std::int64_t to) const;
    // |gain|^2 of a mark in units of the expected power, noise taken off, as the readings that
    // carry it see it: of the whole in phase, or frame by frame where the phase does not hold.
    [[nodiscard]] double relative_power(std::int64_t from, std::int64_t to,
                                        const MarkMix& shares) const;
    [[nodiscard]] const tone::BasebandFrame& frame(std::int64_t i) const {
        return frames_[slot(i)];
    }
    [[nodiscard]] double amplitude(std::int64_t i) const { return amplitudes_[slot(i)]; }
    // Share of the frames from <= i < to that were lost, 0 to 1.
    [[nodiscard]] double lost_share(std::int64_t from, std::int64_t to) const {
        return static_cast<double>(sums(to).lost - sums(from).lost) /
               static_cast<double>(to - from);
    }

    MarkMix mix;

 private:
    [[nodiscard]] std::size_t slot(std::int64_t i) const {
        return static_cast<std::size_t>(i) & mask_;
    }
    [[nodiscard]] Stretch stretch(std::int64_t from, std::int64_t to) const;
    [[nodiscard]] Readings readings(std::int64_t from, std::int64_t to) const;
    [[nodiscard]] double log_mix_of(const Readings& scores) const;
    [[nodiscard]] Readings prior() const;
    void accumulate(std::int64_t i, bool fresh);
    void add_rough(std::int64_t i);

    std::size_t mask_;
    std::int64_t size_ = 0;
    std::vector<tone::BasebandFrame> frames_;
    std::vector<double> amplitudes_;
    // Over all frames before one.
    struct Sums {
        double re = 0.0, im = 0.0, weight = 0.0, rough = 0.0, torn = 0.0;
        std::int64_t lost = 0;
    };
    [[nodiscard]] const Sums& sums(std::int64_t i) const { return sums_[slot(i)]; }
    std::vector<Sums> sums_;
    struct Foreseen {
        GainState before;
        GainMessage after;
    };
    std::vector<Foreseen> foreseen_;
    std::vector<Heard> heard_;
    struct Rough {
        std::complex<double> z;  // times level over noise
        double weight;
    };
    std::vector<Rough> rough_;
    bool fading_ = false;
    GainModel gain_model_{kUsualChangesPerS, 1.0};
};

}  // namespace skedlark::copy
