// The tones heard of late: which finds are new, which are known, which only belong to a stronger
// tone.
//
// Stage:   tone. In: lines found. Out: the list, each tone once.
// Units:   hertz, work-rate frames; carrier power as mean square, full scale squared.
// Shape:   one call a line.
// Time:    frames of the input.
// Errors:  none.
// Threads: one thread per instance.
// Source:  side bands of keying fall with the square of the distance (hard edges: power spectrum of
//          a random telegraph wave); harmonics and hum side lines stand at fixed places.
// Checked: tests/dsp/tone/tone_list_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "dsp/tone/finder.h"
#include "dsp/tone/line_search.h"

namespace skedlark::tone {

struct Line {
    double pitch_hz = 0.0;
    double rate_hz_per_s = 0.0;
    double carrier_power = 0.0;
    double ratio = 1.0;     // power over noise in the spectrum it was found in
    double window_s = 1.0;  // of that spectrum
    double odds = 1.0;      // that noise alone gives a tone as clear
    FrameIndex from_frame = 0;
    FrameIndex at_frame = 0;
};

struct ListedTone {
    FoundTone found;
    double carrier_power = 0.0;
    double window_s = 0.0;         // of the spectrum that gave the pitch
    FrameIndex longest_frame = 0;  // when that was
    double verdict_s = 0.0;        // audio that its verdict rests on
    double verdict_odds = 0.0;     // nepers for the verdict in found.event.keyed
    bool told = false;
    bool merged = false;  // turned out to be another tone's; leaves the list
};

class ToneList {
 public:
    // Power over noise along another track, in the rows that the line was found in; empty outside.
    using RatioAt = std::function<std::optional<double>(double hz, double rate_hz_per_s)>;
    // The tone the line belongs to as its own line; null when it is part of a stronger tone.
    ListedTone* take(const Line& line, const RatioAt& ratio_at);
    void forget_before(FrameIndex frame);
    [[nodiscard]] std::vector<ListedTone>& tones() { return tones_; }
    void clear();

 private:
    void merge_into(ListedTone& kept);

    std::vector<ListedTone> tones_;
    int numbers_given_ = 0;
};

// Power that a keyed tone's side bands may have this far off, over the carrier's, in a spectrum of
// Hann windows of this length.
[[nodiscard]] double side_band_mask(double offset_hz, double window_s);
// Whether a line this much weaker (power ratio, below 1), offset_hz from a keyed tone, may be that
// tone's side band, key click, hum line or harmonic.
[[nodiscard]] bool belongs_to(double tone_hz, double line_hz, double power_ratio, double window_s);

}  // namespace skedlark::tone
