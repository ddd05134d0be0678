// Contacts that fail while plug, valve or switch is moved: dropouts and crackle, and how often.
//
// Stage:   bench. In: audio of the receiver's own noise, or of a steady tone; stretches in which something
//          was touched, and in which nothing was. Out: events; rates touched and at rest.
// Units:   seconds from the audio's start; dB against the usual level there.
// Shape:   5 s to 2 hours of audio; stretches in order.
// Time:    an event's edges are those of the most likely step in level.
// Errors:  of input_check.h and contact_levels.h; invalid_value for stretches that overlap.
// Threads: pure.
// Source:  likelihood ratio over lengths from 1 to 128 ms. Band-limited noise dips deeply by itself (its
//          envelope is Rayleigh's), so a dropout in noise is told by the power of all its degrees of freedom
//          in the stretch (quadratic_tail.h), and in a tone also by its amplitude (noncentral chi-square).
//          With a tone the limit for noise alone stands too: a sum of squares with a constant added is the
//          rarer small (Anderson, Proc. Amer. Math. Soc. 6 (1955) 170-176).
// Checked: tests/dsp/bench/contacts_test.cpp; tests/accuracy/bench_events
#pragma once

#include <span>
#include <vector>

#include "dsp/bench/event_rate.h"
#include "dsp/bench/figure.h"
#include "dsp/bench/input_check.h"

namespace skedlark::bench {

enum class ContactKind { dropout, crackle };

struct ContactEvent {
    ContactKind kind = ContactKind::dropout;
    double at_s = 0.0;
    double length_s = 0.0;
    Figure depth_db{};  // dropout: fall of level; crackle: rise
    bool touched = false;
};

// The least dropout of this length that is found 99 times in 100.
struct NoticedDepth {
    double length_s = 0.0;
    double depth_db = 0.0;
};

struct ContactsConfig {
    double sample_rate_hz = 48000.0;         // 8000 to 192000
    double least_depth_db = 3.0;             // 1 to 40; shallower events are not told
    double false_dropouts_per_10_min = 0.3;  // 0.001 to 100, in Gaussian noise
    std::vector<Stretch> touched{};          // none: all of the recording is one stretch
    std::vector<Stretch> at_rest{};          // none: all that is not touched
};

struct ContactRates {
    EventRate touched{}, at_rest{};
    RateRatio ratio{};
};

struct Contacts {
    bool in_tone = false;
    double pitch_hz = 0.0;
    double tone_over_noise_db = 0.0;
    double noise_width_hz = 0.0;  // noise-equivalent, of the audio: what the limits rest on
    // How far the noise swings by itself, one standard deviation: above 0 there is noise of the air in it, and
    // only deeper dropouts can be told.
    double noise_swing_db = 0.0;
    std::vector<ContactEvent> events{};  // by time
    ContactRates dropouts{}, crackles{};
    std::vector<NoticedDepth> noticed{};
};

[[nodiscard]] Result<Contacts> measure_contacts(std::span<const float> audio,
                                                const ContactsConfig& config);

}  // namespace skedlark::bench
