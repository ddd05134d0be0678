#include "dsp/synth/transmitter.h"

#include <algorithm>

namespace skedlark::synth {

std::vector<Mark> go_out(const std::vector<Mark>& keyed, const TransmitterConfig& config,
                         std::uint64_t seed) {
    // A generator for each fault, so that one leaves the other as it was.
    Random lag_random(derive_seed(seed, "lag"));
    Random bounce_random(derive_seed(seed, "bounce"));
    std::vector<Mark> out;
    double rested_since_s = -1.0e9;
    for (const Mark& mark : keyed) {
        double lag_s =
            std::max(0.0, config.lag_s * (1.0 + config.lag_spread * lag_random.normal()));
        if (mark.on_s - rested_since_s >= config.cold_after_s) lag_s += config.cold_lag_s;
        rested_since_s = mark.off_s;
        Mark sent{mark.on_s + lag_s, mark.off_s, mark.dash};
        if (sent.on_s >= sent.off_s) continue;
        const bool bounces = bounce_random.uniform() < config.bounce_chance;
        const double open_s = config.bounce_open_s * bounce_random.uniform(0.5, 1.5);
        const double after_s = config.bounce_after_s * bounce_random.uniform(0.5, 1.5);
        if (bounces && sent.on_s + after_s + open_s < sent.off_s) {
            out.push_back({sent.on_s, sent.on_s + after_s, sent.dash});
            sent.on_s += after_s + open_s;
        }
        out.push_back(sent);
    }
    return out;
}

}  // namespace skedlark::synth
