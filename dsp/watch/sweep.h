// A sweep of the dial: audio in, stations by division and frequency out, and what it says for the
// where-is-it map.
//
// Stage:   watch. In: work-rate audio, the motion of the dial, its chart. Out: stations met.
// Units:   divisions as read, megahertz, seconds from the first sample.
// Shape:   any number of samples a call.
// Time:    a station is told latency_s() after its zero beat at the latest; finish() tells the rest.
// Errors:  create() returns invalid_value: a pace at which nothing can be found, a stretch that is
//          not on the dial.
// Threads: one thread per instance.
// Source:  tone/glide_finder.h for the time of zero beat, dial/motion.h for where the dial was then;
//          both uncertainties are carried on, as independent ones.
// Checked: tests/dsp/watch/sweep_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/dial/dial.h"
#include "dsp/dial/motion.h"
#include "dsp/dial/place_map.h"
#include "dsp/tone/glide_finder.h"

namespace skedlark::watch {

struct SweepConfig {
    double false_alarms_per_hour = 0.6;  // above 0, to 1000
};

struct SweepStation {
    tone::GlideStation heard;
    double div = 0.0;  // at zero beat
    double sd_div = 0.0;
    double low95_div = 0.0;
    double high95_div = 0.0;
    double mhz = 0.0;
    double mhz_sd = 0.0;  // of the place, the chart and the correction together
};

class Sweep {
 public:
    [[nodiscard]] static Result<Sweep> create(const dial::Dial& dial, const dial::Motion& motion,
                                              const SweepConfig& config = {});

    void process(std::span<const float> audio) { finder_.process(audio); }
    void finish() { finder_.finish(); }
    // As they became known; grows only.
    [[nodiscard]] std::vector<SweepStation> stations() const;
    [[nodiscard]] std::size_t count() const { return finder_.stations().size(); }
    [[nodiscard]] double latency_s() const { return finder_.latency_s(); }
    // Hertz a second that the pitch runs at, from the slowest to the fastest place.
    [[nodiscard]] double slowest_hz_per_s() const { return slowest_hz_per_s_; }
    [[nodiscard]] double fastest_hz_per_s() const { return fastest_hz_per_s_; }

    // Lowers the map where nothing was heard and raises it at what was; a pass for each turn that
    // was heard up to until_s.
    [[nodiscard]] Status update(dial::PlaceMap& map, const dial::ChanceByRate& chance,
                                double until_s) const;

 private:
    Sweep(const dial::Dial& dial, const dial::Motion& motion, tone::GlideFinder finder,
          double slowest_hz_per_s, double fastest_hz_per_s);

    dial::Dial dial_;
    dial::Motion motion_;
    tone::GlideFinder finder_;
    double slowest_hz_per_s_;
    double fastest_hz_per_s_;
};

}  // namespace skedlark::watch
