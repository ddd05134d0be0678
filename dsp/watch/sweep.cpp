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
constexpr int kPlaces = 50;        // where the chart's steepness is looked at
constexpr int kNoisePlaces = 200;  // of a turn
// A quiet moment among loud ones makes up for no more than so much of them.
constexpr double kMostShare = 10.0;
// What is found at rest in a given time is weaker by so much than what is found as it glides by in
// the same time: 90 % at -24.3 dB in 20 s (docs/data/detection.csv) against docs/data/glide_curve.csv.
constexpr double kRestGainDb = 4.0;
constexpr double kLeastShare = 1e-9;

}  // namespace

Result<Sweep> Sweep::create(const dial::Dial& dial, const dial::Motion& motion,
                            const SweepConfig& config) {
    auto sweep = create(dial, motion.paces(), config);
    if (!sweep) return sweep;
    if (auto rests = motion.rests(); !rests.empty()) {
        auto stops = Stops::create(
            std::move(rests),
            {.false_alarms_per_hour = config.false_alarms_per_hour, .calls = config.calls});
        if (!stops) return stops.error();
        sweep->stops_.emplace(*std::move(stops));
    }
    sweep->motion_ = motion;
    return sweep;
}

Result<Sweep> Sweep::create(const dial::Dial& dial, const dial::Motion::Paces& paces,
                            const SweepConfig& config) {
    const dial::Receiver& receiver = dial.receiver();
    for (const double div : {paces.low_div, paces.high_div}) {
        if (div >= receiver.from_div && div <= receiver.to_div) continue;
        return Error{ErrorCode::invalid_value,
                     fmt::format("division {} is not on the dial; allowed: {} to {}", div,
                                 receiver.from_div, receiver.to_div)};
    }
    if (const auto calls = CallMatch::create(config.calls); !calls) return calls.error();
    if (paces.fastest_div_per_s == 0.0) return Sweep(dial, std::nullopt, 0.0, 0.0);
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
    return Sweep(dial, *std::move(finder), slowest, fastest);
}

Sweep::Sweep(const dial::Dial& dial, std::optional<tone::GlideFinder> finder,
             double slowest_hz_per_s, double fastest_hz_per_s)
    : dial_(dial),
      finder_(std::move(finder)),
      slowest_hz_per_s_(slowest_hz_per_s),
      fastest_hz_per_s_(fastest_hz_per_s) {}

void Sweep::turned(const dial::Motion& motion) {
    motion_ = motion;
    collect(false);
}

void Sweep::process(std::span<const float> audio, bool lost) {
    if (lost) {
        const double from_s = static_cast<double>(heard_) / kWorkRateHz;
        const double to_s = from_s + static_cast<double>(audio.size()) / kWorkRateHz;
        if (!lost_.empty() && lost_.back().to_s >= from_s - 1e-9) {
            lost_.back().to_s = to_s;
        } else {
            lost_.push_back({from_s, to_s});
        }
    }
    heard_ += static_cast<FrameIndex>(audio.size());
    if (finder_) finder_->process(audio);
    if (stops_) stops_->process(audio, lost);
    collect(false);
}

void Sweep::finish() {
    if (finder_) finder_->finish();
    if (stops_) stops_->finish();
    collect(true);
}

// all: also what lies beyond the last known place of the dial.
void Sweep::collect(bool all) {
    if (!motion_) return;
    const double known_s = motion_->marks().back().at_s;
    while (finder_ && gliding_told_ < finder_->stations().size()) {
        const tone::GlideStation& heard = finder_->stations()[gliding_told_];
        if (!all && heard.zero_beat_s > known_s) break;
        stations_.push_back(met(heard));
        ++gliding_told_;
    }
    while (stops_ && stops_told_ < stops_->tones().size())
        stations_.push_back(met(stops_->tones()[stops_told_++]));
}

SweepStation Sweep::met(const tone::GlideStation& heard) const {
    SweepStation one;
    const dial::DialPosition where = motion_->at(heard.zero_beat_s);
    const double pace = motion_->pace_div_per_s(heard.zero_beat_s);
    one.at_s = heard.zero_beat_s;
    one.div = where.div;
    one.sd_div = std::hypot(where.sd_div, pace * heard.zero_beat_sd_s);
    one.keyed = heard.keyed;
    one.broadcast = heard.broadcast;
    one.snr_2500hz_db = heard.snr_2500hz_db;
    one.rate_hz_per_s = heard.rate_hz_per_s;
    one.false_alarm_odds = heard.false_alarm_odds;
    place(one);
    return one;
}

SweepStation Sweep::met(const StopTone& heard) const {
    SweepStation one;
    const double reading = dial_.receiver().reading_sd_div;
    const double away = 1e-3 * heard.pitch_hz / std::abs(dial_.khz_per_div(heard.rest.div));
    one.at_s = heard.rest.from_s;
    one.stop_pitch_hz = heard.pitch_hz;
    one.div = heard.rest.div;
    one.sd_div = std::hypot(reading, away);
    one.keyed = heard.keyed;
    one.snr_2500hz_db = heard.snr_2500hz_db;
    one.false_alarm_odds = heard.false_alarm_odds;
    one.text = heard.text;
    one.expected_call = heard.expected_call;
    one.other_call = heard.other_call;
    place(one);
    return one;
}

void Sweep::place(SweepStation& one) const {
    one.low95_div = one.div - kZ95 * one.sd_div;
    one.high95_div = one.div + kZ95 * one.sd_div;
    one.mhz = dial_.mhz_at(one.div);
    // The dial's own statement counts one reading; the place found counts in its stead.
    const double reading = dial_.receiver().reading_sd_div;
    const double mhz_per_div = std::abs(dial_.khz_per_div(one.div)) / 1000.0;
    const double rest = std::pow(dial_.mhz_sd(one.div), 2.0) - std::pow(reading * mhz_per_div, 2.0);
    one.mhz_sd = std::sqrt(std::max(0.0, rest) + std::pow(one.sd_div * mhz_per_div, 2.0));
}

double Sweep::usual_noise() const {
    if (!finder_) return 0.0;
    std::vector<double> densities;
    for (const tone::GlideNoise& one : finder_->noise())
        if (one.density > 0.0) densities.push_back(one.density);
    if (densities.empty()) return 0.0;
    const auto middle = densities.begin() + static_cast<std::ptrdiff_t>(densities.size() / 2);
    std::nth_element(densities.begin(), middle, densities.end());
    return *middle;
}

// What the stretch is worth for finding against as long a one in the usual noise: audio that was lost,
// or had not begun, or had ended, is worth nothing.
double Sweep::heard_share(double from_s, double to_s, double usual) const {
    const auto common = [&](double other_from_s, double other_to_s) {
        return std::max(0.0, std::min(to_s, other_to_s) - std::max(from_s, other_from_s));
    };
    double worth_s = 0.0;
    if (finder_ && usual > 0.0) {
        for (const tone::GlideNoise& one : finder_->noise()) {
            const double seconds = common(one.from_s, one.to_s);
            if (seconds > 0.0 && one.density > 0.0)
                worth_s += seconds * std::min(kMostShare, usual / one.density);
        }
    } else {
        worth_s = common(0.0, static_cast<double>(heard_) / kWorkRateHz);
    }
    double lost_s = 0.0;
    for (const Stretch& one : lost_) lost_s += common(one.from_s, one.to_s);
    const double whole_s = to_s - from_s;
    return std::max(0.0, worth_s / whole_s) * std::max(0.0, 1.0 - lost_s / whole_s);
}

dial::Pass Sweep::pass_of(const dial::Motion::Turn& turn, double end_s) const {
    dial::Pass pass;
    pass.from_div = turn.from.div;
    pass.to_div = end_s < turn.to.at_s ? motion_->at(end_s).div : turn.to.div;
    pass.div_per_min = 60.0 * std::abs(pass.to_div - pass.from_div) / (end_s - turn.from.at_s);
    pass.position_sd_div = dial_.receiver().reading_sd_div;
    const double usual = usual_noise();
    for (int n = 0; n <= kNoisePlaces; ++n) {
        const double at_s = turn.from.at_s + (end_s - turn.from.at_s) * n / kNoisePlaces;
        const double div = motion_->at(at_s).div;
        const double rate =
            std::abs(1000.0 * dial_.khz_per_div(div) * motion_->pace_div_per_s(at_s));
        const double arm_s = dial_.receiver().audio.high_hz / std::max(1.0, rate);
        const double share = heard_share(at_s - arm_s, at_s + arm_s, usual);
        pass.noise.push_back({div, -10.0 * std::log10(std::max(kLeastShare, share))});
    }
    if (pass.to_div < pass.from_div) std::reverse(pass.noise.begin(), pass.noise.end());
    return pass;
}

// As if the passband were crossed evenly in the time there was, only heard better.
dial::Pass Sweep::pass_of(const dial::Motion::Rest& rest, double end_s) const {
    const double reach =
        1e-3 * dial_.receiver().audio.high_hz / std::abs(dial_.khz_per_div(rest.div));
    const double seconds = end_s - rest.from_s;
    dial::Pass pass;
    pass.from_div = rest.div - reach;
    pass.to_div = rest.div + reach;
    pass.div_per_min = std::clamp(60.0 * 2.0 * reach / seconds, 1e-3, 1000.0);
    pass.position_sd_div = dial_.receiver().reading_sd_div;
    const double share = heard_share(rest.from_s, end_s, usual_noise());
    pass.noise.push_back(
        {rest.div, -10.0 * std::log10(std::max(kLeastShare, share)) - kRestGainDb});
    return pass;
}

Status Sweep::update(dial::PlaceMap& map, const dial::ChanceByRate& chance, double until_s) const {
    if (!motion_) return Done{};
    const auto candidate = [](const SweepStation& one) {
        // Not told from steady: it may well be ours.
        const bool steady = one.broadcast || !one.keyed.value_or(true);
        dial::Candidate made{one.div, one.sd_div, steady ? dial::Heard::steady : dial::Heard::keyed,
                             1.0};
        if (one.expected_call) {
            made.heard = dial::Heard::expected_call;
            made.confidence = one.expected_call->confidence;
        } else if (one.other_call) {
            made.heard = dial::Heard::other_call;
            made.confidence = one.other_call->confidence;
        }
        return made;
    };
    for (const dial::Motion::Turn& turn : motion_->turns()) {
        if (turn.from.at_s >= until_s) break;
        const double end_s = std::min(turn.to.at_s, until_s);
        dial::Pass pass = pass_of(turn, end_s);
        for (const SweepStation& one : stations_)
            if (!one.stop_pitch_hz && one.at_s >= turn.from.at_s && one.at_s <= end_s)
                pass.candidates.push_back(candidate(one));
        if (const Status heard = map.heard(pass, chance); !heard) return heard;
    }
    for (const dial::Motion::Rest& rest : motion_->rests()) {
        if (!stops_ || rest.from_s + dial::Motion::kLeastRestS > until_s) continue;
        dial::Pass pass = pass_of(rest, std::min(rest.to_s, until_s));
        for (const SweepStation& one : stations_)
            if (one.stop_pitch_hz && one.at_s == rest.from_s)
                pass.candidates.push_back(candidate(one));
        if (const Status heard = map.heard(pass, chance); !heard) return heard;
    }
    return Done{};
}

Status Sweep::raise(dial::PlaceMap& map, const dial::ChanceByRate& chance,
                    const SweepStation& station, const CallHeard& call, double seconds) const {
    const double long_s = std::max(seconds, dial::Motion::kLeastRestS);
    dial::Pass pass = pass_of(dial::Motion::Rest{0.0, long_s, station.div}, long_s);
    pass.noise.clear();  // it was heard, whatever the noise
    pass.candidates.push_back(
        {station.div, station.sd_div, dial::Heard::expected_call, call.confidence});
    return map.heard(pass, chance);
}

const SweepStation* station_to_go_back_to(const std::vector<SweepStation>& stations,
                                          const dial::PlaceMap* map) {
    constexpr double kAnExpectedCall = 1e30;  // above any chance or power
    const SweepStation* best = nullptr;
    double most = 0.0;
    for (const SweepStation& one : stations) {
        if (one.broadcast || !one.keyed.value_or(true) || one.other_call) continue;
        const double worth = one.expected_call ? kAnExpectedCall * one.expected_call->confidence
                             : map != nullptr  ? map->chance_between(one.low95_div, one.high95_div)
                                               : power_from_db(one.snr_2500hz_db);
        if (best != nullptr && worth <= most) continue;
        best = &one;
        most = worth;
    }
    return best;
}

}  // namespace skedlark::watch
