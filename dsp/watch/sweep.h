// A sweep of the dial: audio in, stations by division and frequency out, and what it says for the
// where-is-it map.
//
// Stage:   watch. In: work-rate audio, the motion of the dial, its chart. Out: stations met, while the
//          dial moved and where it rested.
// Units:   divisions as read, megahertz, seconds from the first sample.
// Shape:   any number of samples a call.
// Time:    a station met in motion is told latency_s() after its zero beat at the latest, and not
//          before it is known where the dial was then; one met at a stop, at the end of the stop.
//          finish() tells the rest.
// Errors:  create() returns invalid_value: a pace at which nothing can be found, a stretch that is
//          not on the dial.
// Threads: one thread per instance.
// Source:  tone/glide_finder.h for the time of zero beat, dial/motion.h for where the dial was then;
//          both uncertainties are carried on, as independent ones. At a stop zero beat lies as far
//          from the dial as the pitch says, on either side: stops.h.
// Checked: tests/dsp/watch/sweep_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/dial/dial.h"
#include "dsp/dial/motion.h"
#include "dsp/dial/place_map.h"
#include "dsp/tone/glide_finder.h"
#include "dsp/watch/stops.h"

namespace skedlark::watch {

struct SweepConfig {
    double false_alarms_per_hour = 0.6;  // above 0, to 1000
    std::vector<std::string> calls{};    // expected; looked for in what is copied at stops
};

struct SweepStation {
    double at_s = 0.0;  // zero beat; at a stop, its beginning
    // At a stop: the pitch there. `div` is then the stop's own.
    std::optional<double> stop_pitch_hz{};
    double div = 0.0;  // of zero beat
    double sd_div = 0.0;
    double low95_div = 0.0;
    double high95_div = 0.0;
    double mhz = 0.0;
    double mhz_sd = 0.0;  // of the place, the chart and the correction together
    std::optional<bool> keyed{};
    bool broadcast = false;
    double snr_2500hz_db = 0.0;
    double rate_hz_per_s = 0.0;  // of the pitch; 0 at a stop
    double false_alarm_odds = 0.0;
    std::string text{};  // copied at a stop
    std::optional<CallHeard> expected_call{}, other_call{};
};

// The one to turn back to: an expected call, or where the map says most (map may be null), or the
// strongest. Steady carriers, broadcasts and other calls never; null where none is left.
[[nodiscard]] const SweepStation* station_to_go_back_to(const std::vector<SweepStation>& stations,
                                                        const dial::PlaceMap* map);

class Sweep {
 public:
    [[nodiscard]] static Result<Sweep> create(const dial::Dial& dial, const dial::Motion& motion,
                                              const SweepConfig& config = {});
    // The motion is told later, as it becomes known: turned(). Paces say what to expect of it.
    [[nodiscard]] static Result<Sweep> create(const dial::Dial& dial,
                                              const dial::Motion::Paces& paces,
                                              const SweepConfig& config = {});

    // All that is known of the motion by now; what was known before stays as it was.
    void turned(const dial::Motion& motion);
    // lost: zeros that stand for audio that never came.
    void process(std::span<const float> audio, bool lost = false);
    void finish();
    // As they became known; grows only.
    [[nodiscard]] const std::vector<SweepStation>& stations() const { return stations_; }
    [[nodiscard]] double latency_s() const { return finder_ ? finder_->latency_s() : 0.0; }
    // Hertz a second that the pitch runs at, from the slowest to the fastest place; 0 where the dial
    // only steps.
    [[nodiscard]] double slowest_hz_per_s() const { return slowest_hz_per_s_; }
    [[nodiscard]] double fastest_hz_per_s() const { return fastest_hz_per_s_; }

    // Lowers the map where nothing was heard, at the noise there was, and raises it at what was; a
    // pass for each turn and each stop that was heard up to until_s.
    [[nodiscard]] Status update(dial::PlaceMap& map, const dial::ChanceByRate& chance,
                                double until_s) const;

    // An expected call was copied at the station gone back to, listened to for so long.
    [[nodiscard]] Status raise(dial::PlaceMap& map, const dial::ChanceByRate& chance,
                               const SweepStation& station, const CallHeard& call,
                               double seconds) const;

 private:
    Sweep(const dial::Dial& dial, std::optional<tone::GlideFinder> finder, double slowest_hz_per_s,
          double fastest_hz_per_s);
    void collect(bool all);
    [[nodiscard]] SweepStation met(const tone::GlideStation& heard) const;
    [[nodiscard]] SweepStation met(const StopTone& heard) const;
    void place(SweepStation& one) const;
    [[nodiscard]] double heard_share(double from_s, double to_s, double usual) const;
    [[nodiscard]] double usual_noise() const;
    [[nodiscard]] dial::Pass pass_of(const dial::Motion::Turn& turn, double end_s) const;
    [[nodiscard]] dial::Pass pass_of(const dial::Motion::Rest& rest, double end_s) const;

    struct Stretch {
        double from_s = 0.0;
        double to_s = 0.0;
    };

    dial::Dial dial_;
    std::optional<dial::Motion> motion_;
    std::optional<tone::GlideFinder> finder_;  // none where the dial only steps
    std::optional<Stops> stops_;               // none where it does not rest
    double slowest_hz_per_s_;
    double fastest_hz_per_s_;
    FrameIndex heard_ = 0;
    std::vector<Stretch> lost_;
    std::size_t gliding_told_ = 0;
    std::size_t stops_told_ = 0;
    std::vector<SweepStation> stations_;
};

}  // namespace skedlark::watch
