// Which of the tones that were found shall be copied.
//
// Stage:   watch. In: what the finder knows, and what is followed now. Out: whom to drop, whom to
//          take up.
// Units:   hertz, seconds.
// Shape:   pure: the same answer for the same input; called about once a second.
// Time:    none.
// Errors:  none.
// Threads: none.
// Source:  rules of this project: - Only a tone known to be keyed is taken up. Likeliest first;
//          nearest first where a pitch is told. - A tone waits while a clearly stronger one may
//          still prove to be keyed: it may be the side band or splatter of that one. - A followed
//          tone that proves not keyed is dropped, one whose text makes no sense gives way to a
//          keyed one that is much stronger. - A followed tone stays, however long it is silent,
//          until another one has a claim: one clearly nearer to the pitch told, any keyed one when
//          the followed one was never heard keyed, or any keyed one after yield_after_s of silence.
//          That is shorter than what the history holds, so that the other one's text is had from
//          its start.
// Checked: tests/dsp/watch/tone_choice_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace skedlark::watch {

// Two pitches closer than this are one tone.
inline constexpr double kSameToneHz = 12.0;
// Nearer to the pitch told by this much is clearly nearer.
inline constexpr double kClearlyNearerHz = 30.0;
// Stronger by this much is clearly stronger, and much stronger.
inline constexpr double kClearlyStrongerDb = 6.0;
inline constexpr double kMuchStrongerDb = 15.0;
// For so long may a tone be unknown and hold back weaker ones.
inline constexpr double kMayProveKeyedS = 8.0;
// A tone must have been unknown for so long before it is tried; strong ones are judged within five.
inline constexpr double kTryUnknownAfterS = 6.0;
// A followed tone must be known as not keyed for this long before it is dropped.
inline constexpr double kDropAfterS = 5.0;

struct ChoiceConfig {
    double from_hz = 200.0;
    double to_hz = 3000.0;
    std::optional<double> told_hz;  // where the wanted tone is expected
    int tones = 1;
    double yield_after_s = 45.0;
};

struct Candidate {
    int tone = 0;
    double pitch_hz = 0.0;
    std::optional<bool> keyed{};
    double snr_2500hz_db = 0.0;
    double false_alarm_odds = 1.0;
    double known_s = 1.0e9;  // since it was found
};

struct Followed {
    int tone = 0;
    double start_hz = 0.0;     // where it was taken up
    double pitch_hz = 0.0;     // where it is now
    bool real = false;         // was found keyed, or its text makes sense
    bool makes_sense = false;  // its text does
    double snr_2500hz_db = 0.0;
    double silent_s = 0.0;     // since it was last heard
    double not_keyed_s = 0.0;  // for how long it has been known as not keyed
};

struct Choice {
    std::vector<int> not_keyed;  // tones to drop without a word
    std::vector<int> yield;      // tones to end properly
    std::vector<int> take_up;    // best first
};

// moved_hz: how far the receiver has moved all pitches since the start (drift, knocks).
[[nodiscard]] Choice choose(const ChoiceConfig& config, std::span<const Candidate> found,
                            std::span<const Followed> followed, double moved_hz);

// Better first.
[[nodiscard]] bool is_likelier(const ChoiceConfig& config, const Candidate& a, const Candidate& b,
                               double moved_hz);

}  // namespace skedlark::watch
