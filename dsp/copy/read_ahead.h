// Carries a trellis on over evidence whose gain is foreseen from both sides.
//
// Stage:   copy, inside. In: evidence as it grows. Out: the trellis, firm up to firm().
// Units:   frames.
// Shape:   the key is read ahead of the trellis without any text (KeyPosterior); from that the gain
//          of the tone is followed forward and backward (GainTracker), and what lies so far behind
//          that marks on both sides of it were heard is carried on for good.
// Time:    firm() stays kAheadDots behind the evidence, 0.5 to 4 s; extend() goes on to its end with
//          what is foreseen by then, and that part is read anew when it becomes firm.
// Errors:  none.
// Threads: one thread per instance; advance() allocates only while its window grows.
// Source:  none
// Checked: tests/dsp/copy/read_ahead_test.cpp
#pragma once

#include <cstdint>
#include <vector>

#include "dsp/copy/gain_tracker.h"
#include "dsp/copy/key_posterior.h"
#include "dsp/copy/mark_evidence.h"
#include "dsp/copy/text_trellis.h"

namespace skedlark::copy {

class ReadAhead {
 public:
    explicit ReadAhead(int capacity);
    // At boundary `at`, nothing being sent. mean_power: of marks, above 0.
    void begin(std::int64_t at, const std::vector<Timing>& hands, double mean_power);
    // New lengths for hands that go on, as many as before, and a new level.
    void follow(const std::vector<Timing>& hands, double mean_power);
    // Takes in evidence until some of it became firm, or there is no more. True: some did.
    bool advance(MarkEvidence& evidence);
    // Carries the trellis on to now(), not for good.
    void extend(const MarkEvidence& evidence);
    // All of the evidence becomes firm: there is no more.
    void finish(MarkEvidence& evidence);

    [[nodiscard]] std::int64_t firm() const { return gain_.settled(); }
    // How far the key has been read: the end of the evidence once advance() returns false.
    [[nodiscard]] std::int64_t now() const { return key_.now(); }
    // By how much the gain turned, radians a frame: in what became firm last, and since begin().
    [[nodiscard]] double turn_lately() const { return gain_.turn_lately(); }
    [[nodiscard]] double turn_since_begin() const { return gain_.turn_since_begin(); }
    [[nodiscard]] const TextTrellis& trellis() const { return trellis_; }

 private:
    void look(MarkEvidence& evidence, std::int64_t settle);
    void set_hand(const Timing& timing);

    TextTrellis trellis_;
    KeyPosterior key_;
    GainTracker gain_;
    double mean_power_ = 1.0;
    std::int64_t ahead_ = 0, hop_ = 1;
    std::vector<float> down_;
};

}  // namespace skedlark::copy
