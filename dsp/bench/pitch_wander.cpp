#include "dsp/bench/pitch_wander.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>

namespace skedlark::bench {

void PitchWander::add(bool measured, const PitchSecond& second) {
    push(0, measured, second.pitch_hz, second.sd_hz * second.sd_hz);
}

void PitchWander::push(std::size_t octave, bool whole, double mean, double variance) {
    Octave& o = octaves_[octave];
    if (whole && o.last_whole) {
        o.squares += (mean - o.last) * (mean - o.last);
        o.noise += variance + o.last_variance;
        ++o.changes;
    }
    o.last = mean;
    o.last_variance = variance;
    o.last_whole = whole;
    if (!o.has_half) {
        o.half = mean;
        o.half_variance = variance;
        o.half_whole = whole;
        o.has_half = true;
        return;
    }
    o.has_half = false;
    if (octave + 1 < kOctaves) {
        push(octave + 1, whole && o.half_whole, 0.5 * (mean + o.half),
             0.25 * (variance + o.half_variance));
    }
}

std::vector<Wander> PitchWander::result() const {
    std::vector<Wander> found;
    double over_s = 1.0;
    for (const Octave& o : octaves_) {
        if (o.changes >= 3) {
            const auto count = static_cast<double>(o.changes);
            const double seen = o.squares / count, noise = o.noise / count;
            const double freedom = std::max(1.0, 2.0 * count / 3.0);
            const boost::math::chi_squared law(freedom);
            const auto end = [&](double chance) {
                return std::sqrt(
                    std::max(0.0, seen * freedom / boost::math::quantile(law, chance) - noise));
            };
            const double low = end(0.975), high = end(0.025);
            // Where the interval is lopsided, its middle; the root of the plain mean lies within.
            found.push_back({over_s, {0.5 * (low + high), 0.5 * (high - low)}, o.changes});
        }
        over_s *= 2.0;
    }
    return found;
}

}  // namespace skedlark::bench
