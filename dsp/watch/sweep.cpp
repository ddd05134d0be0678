#include "dsp/watch/sweep.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::watch {
namespace {

constexpr double kZ95 = 1.959963984540054;  // two-sided 95 % of a normal
// What a hand does about its pace, and a little: the finder looks for no other.
constexpr double kSlower = 0.8;
constexpr double kFaster = 1.25;
// What the finder can follow.
constexpr double kSlowestHzPerS = 150.0;
constexpr double kFastestHzPerS = 8000.0;
constexpr int kPlaces = 50;  // where the chart's steepness is looked at

}  // namespace

Result<Sweep> Sweep::create(const dial::Dial& dial, const dial::Motion& motion,
                            const SweepConfig& config) {
    const dial::Receiver& receiver = dial.receiver();
    const dial::Motion::Paces paces = motion.paces();
    for (const double div : {paces.low_div, paces.high_div}) {
        if (div >= receiver.from_div && div <= receiver.to_div) continue;
        return Error{ErrorCode::invalid_value,
                     fmt::format("division {} is not on the dial; allowed: {} to {}", div,
                                 receiver.from_div, receiver.to_div)};
    }
    double least = 1e300;
    double most = 0.0;
    for (int n = 0; n <= kPlaces; ++n) {
        const double div = paces.low_div + (paces.high_div - paces.low_div) * n / kPlaces;
        const double hz_per_div = 1000.0 * std::abs(dial.khz_per_div(div));
        least = std::min(least, hz_per_div);
        most = std::max(most, hz_per_div);
    }
    const double slowest = least * paces.slowest_div_per_s;
    const double fastest = most * paces.fastest_div_per_s;
    if (fastest < kSlowestHzPerS || slowest > kFastestHzPerS) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("the dial moves by {:.0f} to {:.0f} Hz a second; stations can be found at "
                        "{:.0f} to {:.0f}{}",
                        slowest, fastest, kSlowestHzPerS, kFastestHzPerS,
                        fastest < kSlowestHzPerS ? " (use skedlark find where it rests)" : "")};
    }
    tone::GlideFinderConfig finding;
    finding.low_hz = std::clamp(receiver.audio.low_hz, 50.0, 1500.0);
    finding.high_hz = std::clamp(receiver.audio.high_hz, 2.0 * finding.low_hz, 3900.0);
    finding.slowest_hz_per_s = std::clamp(kSlower * slowest, kSlowestHzPerS, kFastestHzPerS);
    finding.fastest_hz_per_s =
        std::clamp(kFaster * fastest, finding.slowest_hz_per_s, kFastestHzPerS);
    finding.false_alarms_per_hour = config.false_alarms_per_hour;
    auto finder = tone::GlideFinder::create(finding);
    if (!finder) return finder.error();
    return Sweep(dial, motion, std::move(*finder), slowest, fastest);
}

Sweep::Sweep(const dial::Dial& dial, const dial::Motion& motion, tone::GlideFinder finder,
             double slowest_hz_per_s, double fastest_hz_per_s)
    : dial_(dial),
      motion_(motion),
      finder_(std::move(finder)),
      slowest_hz_per_s_(slowest_hz_per_s),
      fastest_hz_per_s_(fastest_hz_per_s) {}

std::vector<SweepStation> Sweep::stations() const {
    std::vector<SweepStation> out;
    for (const tone::GlideStation& heard : finder_.stations()) {
        SweepStation one;
        one.heard = heard;
        const dial::DialPosition place = motion_.at(heard.zero_beat_s);
        const double pace = motion_.pace_div_per_s(heard.zero_beat_s);
        one.div = place.div;
        one.sd_div = std::hypot(place.sd_div, pace * heard.zero_beat_sd_s);
        one.low95_div = one.div - kZ95 * one.sd_div;
        one.high95_div = one.div + kZ95 * one.sd_div;
        one.mhz = dial_.mhz_at(one.div);
        // The dial's own statement counts one reading; the place found counts in its stead.
        const double reading = dial_.receiver().reading_sd_div;
        const double mhz_per_div = std::abs(dial_.khz_per_div(one.div)) / 1000.0;
        const double rest =
            std::pow(dial_.mhz_sd(one.div), 2.0) - std::pow(reading * mhz_per_div, 2.0);
        one.mhz_sd = std::sqrt(std::max(0.0, rest) + std::pow(one.sd_div * mhz_per_div, 2.0));
        out.push_back(one);
    }
    return out;
}

Status Sweep::update(dial::PlaceMap& map, const dial::ChanceByRate& chance, double until_s) const {
    const std::vector<SweepStation> met = stations();
    for (const dial::Motion::Turn& turn : motion_.turns()) {
        if (turn.from.at_s >= until_s) break;
        const double end_s = std::min(turn.to.at_s, until_s);
        dial::Pass pass;
        pass.from_div = turn.from.div;
        pass.to_div = end_s < turn.to.at_s ? motion_.at(end_s).div : turn.to.div;
        pass.div_per_min = 60.0 * std::abs(pass.to_div - pass.from_div) / (end_s - turn.from.at_s);
        pass.position_sd_div = dial_.receiver().reading_sd_div;
        for (const SweepStation& one : met) {
            const double at_s = one.heard.zero_beat_s;
            if (at_s < turn.from.at_s || at_s > end_s) continue;
            // Not told from steady: it may well be ours.
            const bool steady = one.heard.broadcast || !one.heard.keyed.value_or(true);
            pass.candidates.push_back(
                {one.div, one.sd_div, steady ? dial::Heard::steady : dial::Heard::keyed, 1.0});
        }
        if (const Status heard = map.heard(pass, chance); !heard) return heard;
    }
    return Done{};
}

}  // namespace skedlark::watch
