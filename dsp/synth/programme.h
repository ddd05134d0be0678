// What a broadcast carrier is modulated with: something like speech or music, made from nothing.
//
// Stage:   synth. Out: modulation for an envelope of 1 + depth * next().
// Units:   mean square 0.1 while it sounds, clipped at -1 and 1; depth belongs to the station.
// Shape:   one value a sample, in order.
// Time:    sample n is at n / sample_rate_hz.
// Errors:  none.
// Threads: one thread per instance; next() does not allocate.
// Source:  voiced and unvoiced syllables through two resonances (Fant, Acoustic Theory of Speech
//          Production, 1960, for the idea; values from memory); music as chords of decaying notes
//          with harmonics, equal temperament.
// Checked: tests/dsp/synth/programme_test.cpp
#pragma once

#include <array>

#include "dsp/synth/random.h"

namespace skedlark::synth {

enum class ProgrammeKind { none, speech, music };

class Programme {
 public:
    Programme(ProgrammeKind kind, double sample_rate_hz, std::uint64_t seed);
    double next();

 private:
    struct Resonance {
        double a1 = 0.0, a2 = 0.0, gain = 0.0, y1 = 0.0, y2 = 0.0;
    };
    struct Note {
        double phase = 0.0, step = 0.0, level = 0.0, keep = 1.0;
    };
    double speech();
    double music();
    void begin_syllable();
    void begin_note(Note& note);
    void tune(Resonance& resonance, double centre_hz, double width_hz) const;

    ProgrammeKind kind_;
    double sample_rate_hz_;
    Random random_;
    std::int64_t frame_ = 0;
    std::int64_t next_event_ = 0;
    std::array<Resonance, 2> mouth_{};
    bool voiced_ = false;
    double loudness_ = 0.0;  // aimed at
    double level_ = 0.0;     // now
    double voice_hz_ = 120.0;
    double voice_phase_ = 0.0;
    std::array<Note, 4> notes_{};
    std::size_t next_note_ = 0;
};

}  // namespace skedlark::synth
