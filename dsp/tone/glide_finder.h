// Finds stations while the dial is turned: tones whose pitch falls to zero beat and rises again.
//
// Stage:   tone. In: work-rate audio of a sweep. Out: stations with the time of their zero beat.
// Units:   seconds from the first sample; hertz; audio 1.0 = full scale.
// Shape:   any number of samples a call; the same stations for any split.
// Time:    a station is told once its rising arm has left the band and the block it lies in is
//          full: latency_s() after its zero beat at the latest. finish() tells what is left.
// Errors:  create() returns invalid_value; the rest cannot fail. Samples that are not finite count
//          as 0.
// Threads: one thread per instance; process() may allocate.
// Source:  glide_looks.h, glide_path.h, glide_verdict.h. With a beat oscillator and no image filter
//          a station is heard on both sides of zero beat, so its pitch draws a V against time.
// Checked: tests/dsp/tone/glide_finder_test.cpp; curves by tests/accuracy/glide
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::tone {

struct GlideFinderConfig {
    double low_hz = 200.0;    // 50 to below high_hz: what the headphones give at least
    double high_hz = 3000.0;  // at least twice low_hz, to 3900
    // How fast the dial may move, in hertz a second on the receiver's frequency, either way; 150 to
    // 8000. A narrower range finds weaker stations and is quicker. Say the pace and its wobble.
    double slowest_hz_per_s = 300.0;
    double fastest_hz_per_s = 5000.0;
    double false_alarms_per_hour = 0.6;  // above 0, to 1000: from noise alone
};

struct GlideStation {
    double zero_beat_s = 0.0;
    double zero_beat_sd_s = 0.0;
    double rate_hz_per_s = 0.0;     // of the dial there
    double snr_2500hz_db = 0.0;     // key down
    std::optional<bool> keyed;      // empty: unknown
    bool broadcast = false;         // a carrier with speech or music on it
    double false_alarm_odds = 0.0;  // chance that an hour of noise holds one as clear, 0 to 1
    double from_s = 0.0;            // where it was heard
    double to_s = 0.0;
};

// The noise a station is looked for in: mean over the band and over static, each part of it counting
// as it does for finding (harmonic mean).
struct GlideNoise {
    double from_s = 0.0;
    double to_s = 0.0;
    double density = 0.0;  // mean square full scale per hertz; 0: digital silence
};

class GlideFinder {
 public:
    [[nodiscard]] static Result<GlideFinder> create(const GlideFinderConfig& config);
    GlideFinder(GlideFinder&&) noexcept;
    GlideFinder& operator=(GlideFinder&&) noexcept;
    ~GlideFinder();

    void process(std::span<const float> audio);
    // The audio has ended: what is under way is judged as it is. Nothing more may be processed.
    void finish();
    // In order of zero beat among those told at one time; grows only.
    [[nodiscard]] const std::vector<GlideStation>& stations() const;
    // Gapless from the first sample as far as it is known; grows only.
    [[nodiscard]] const std::vector<GlideNoise>& noise() const;
    [[nodiscard]] double latency_s() const;

 private:
    struct State;
    explicit GlideFinder(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace skedlark::tone
