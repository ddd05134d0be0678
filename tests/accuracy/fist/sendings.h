// Sendings with known faults of hand, element by element, and their audio.
//
// Stage:   tests. In: a text, a fist, what shall go wrong. Out: marks, audio, and the faults.
// Units:   seconds; places count characters of the text from 0.
// Errors:  none; text must be inside the code.
// Threads: values.
// Source:  lengths are drawn here anew, log-normal about the means of synth::Fist; nothing is shared
//          with what is measured.
// Checked: tests/accuracy/fist/sendings_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/synth/fist.h"
#include "dsp/synth/keyer.h"
#include "dsp/synth/note.h"
#include "dsp/synth/random.h"

namespace skedlark::study {

enum class Gap { element, character, word };

// One run of elements, and the gap before it as the hand makes it.
struct Run {
    std::string elements;
    Gap gap_before = Gap::character;
};

struct PutIn {
    std::string kind;  // wrong, missing, extra, run_together, split
    std::size_t meant_at = 0;
};

struct Sending {
    std::string meant;                 // the text
    std::vector<std::string> letters;  // its characters without gaps
    std::size_t characters = 0;
    std::vector<Run> runs;
    std::vector<PutIn> faults;
};

[[nodiscard]] Sending as_meant(const std::string& text);
// About one fault in `one_in` characters, none within two characters of another.
[[nodiscard]] Sending with_faults(const std::string& text, int one_in, synth::Random& random);

[[nodiscard]] std::vector<synth::Mark> key(const std::vector<Run>& runs, const synth::Fist& fist,
                                           double speed_wpm, synth::Random& random);

struct Sound {
    double snr_2500hz_db = 10.0;
    double pitch_hz = 700.0;
    double rise_s = 0.005;
    synth::NoteConfig note{};
};
// At 8000 Hz, a second of noise before and after.
[[nodiscard]] std::vector<float> sound_of(const std::vector<synth::Mark>& marks, const Sound& sound,
                                          std::uint64_t seed);

}  // namespace skedlark::study
