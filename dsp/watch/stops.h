// What is heard where the dial rests: tones with their text, stop after stop.
//
// Stage:   watch. In: work-rate audio, heard or lost, of a sweep; when the dial rests. Out: tones of
//          each stop.
// Units:   seconds from the first sample, hertz.
// Shape:   any number of samples a call; the same for any split.
// Time:    a stop's tones are told at its end. The first and last kSettleS of a stop are left out: the
//          hand.
// Errors:  create() returns invalid_value; the rest cannot fail.
// Threads: one thread per instance.
// Source:  watch.h for each stop.
// Checked: tests/dsp/watch/stops_test.cpp
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/dial/motion.h"
#include "dsp/watch/call_match.h"
#include "dsp/watch/watch.h"

namespace skedlark::watch {

struct StopTone {
    dial::Motion::Rest rest;
    double pitch_hz = 0.0;
    std::optional<bool> keyed;
    double snr_2500hz_db = 0.0;
    double false_alarm_odds = 0.0;
    std::string text;
    std::optional<CallHeard> expected_call, other_call;
};

struct StopsConfig {
    int tones = 3;  // copied at each stop, 0 to 8; others are only found
    double false_alarms_per_hour = 1.0;
    std::vector<std::string> calls{};
};

class Stops {
 public:
    static constexpr double kSettleS = 0.3;

    [[nodiscard]] static Result<Stops> create(std::vector<dial::Motion::Rest> rests,
                                              const StopsConfig& config);

    void process(std::span<const float> audio, bool lost);
    void finish();
    // Grows only.
    [[nodiscard]] const std::vector<StopTone>& tones() const { return tones_; }

 private:
    Stops(std::vector<dial::Motion::Rest> rests, const StopsConfig& config, CallMatch calls);
    void hear(std::span<const float> audio, bool lost);
    void end_stop();
    void take(const std::vector<Event>& events);

    std::vector<dial::Motion::Rest> rests_;
    StopsConfig config_;
    WatchConfig watching_;
    CallMatch calls_;
    FrameIndex heard_ = 0;
    std::size_t stop_ = 0;  // the one under way or to come
    std::optional<Watch> watch_;
    std::map<int, StopTone> open_;
    std::map<int, CallMatch> matches_;
    std::vector<StopTone> tones_;
};

}  // namespace skedlark::watch
