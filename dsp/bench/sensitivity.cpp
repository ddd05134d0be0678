#include "dsp/bench/sensitivity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "dsp/bench/clipping.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kGuardS = 0.2;         // at each edge: switching, clicks, a block's width
constexpr double kLeastOnOffS = 3.0;    // of each
constexpr double kLeastStepDb = 0.5;    // between on and off
constexpr double kGainControlDb = 1.0;  // fall of the noise beside the tone
constexpr double kDbPerNeper = 10.0 / std::numbers::ln10;
constexpr double kAt10Db = 9.5424250943932;  // S/N where (S+N)/N is 10 dB
constexpr double kAtSinad12 = 11.7169;       // S/(N+D) where SINAD is 12 dB

using Pairs = std::vector<std::pair<double, double>>;

Band clamped(const Band& band, double sample_rate_hz) {
    return {band.low_hz, std::min(band.high_hz, 0.5 * sample_rate_hz)};
}

Status check_audio(std::span<const float> audio, double sample_rate_hz) {
    if (audio.size() > kMostFrames) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{:.0f} s of audio are too long; at most {:.0f} s at this rate",
                                 static_cast<double>(audio.size()) / sample_rate_hz,
                                 static_cast<double>(kMostFrames) / sample_rate_hz)};
    }
    return check_full_scale(audio);
}

Figure ratio_db(const Figure& over, const Figure& under) {
    return {db_from_power(over.value / under.value),
            kDbPerNeper *
                std::hypot(over.uncertainty_95 / over.value, under.uncertainty_95 / under.value)};
}

// S/N from (S+N)/N, in dB; empty where the signal does not stand out.
std::optional<Figure> signal_over_noise(const Figure& ratio) {
    const double power = power_from_db(ratio.value);
    const double spread = power * ratio.uncertainty_95 / kDbPerNeper;
    if (power - 1.0 < 1.5 * spread || power <= 1.0) return std::nullopt;
    return Figure{db_from_power(power - 1.0), kDbPerNeper * spread / (power - 1.0)};
}

struct ToneOf {
    std::optional<Figure> sinad_db;
    double noise_power = 0.0;
    double noise_spread = 0.0;  // relative, 95 %
};
ToneOf tone_of(std::span<const float> audio, double sample_rate_hz, double from_s, double to_s,
               const ToneTrackConfig& config) {
    const auto frame = [&](double s) {
        return std::min(audio.size(), static_cast<std::size_t>(std::max(0.0, s) * sample_rate_hz));
    };
    const std::size_t from = frame(from_s + kGuardS);
    const std::size_t to = std::max(from, frame(to_s - kGuardS));
    const auto figures = measure_tone(audio.subspan(from, to - from), sample_rate_hz, config);
    if (!figures) return {};
    return {figures->sinad_db, 0.5 * power_from_db(figures->noise_dbfs.value),
            figures->noise_dbfs.uncertainty_95 / kDbPerNeper};
}

// The noise beside the tone has fallen against the noise alone by more than chance.
bool is_gain_controlled(const ToneOf& tone, const Figure& noise) {
    if (!tone.sinad_db || tone.noise_power <= 0.0) return false;
    const double fall_db = db_from_power(noise.value / tone.noise_power);
    const double spread_db =
        kDbPerNeper * std::hypot(tone.noise_spread, noise.uncertainty_95 / noise.value);
    return fall_db > kGainControlDb + spread_db;
}

const char* const kGainControlSaid =
    "the noise falls when the signal comes up: automatic gain control is suspected, and (S+N)/N "
    "means "
    "nothing then. Switch it off, or set the gain by hand";

double middle_level(const std::vector<EvenStretch>& stretches) {
    const auto by_level = [](const EvenStretch& a, const EvenStretch& b) {
        return a.level_db < b.level_db;
    };
    const auto [low, high] = std::minmax_element(stretches.begin(), stretches.end(), by_level);
    return 0.5 * (low->level_db + high->level_db);
}

double seconds_of(const std::vector<EvenStretch>& stretches) {
    double sum = 0.0;
    for (const EvenStretch& s : stretches) sum += s.to_s - s.from_s;
    return sum;
}

Pairs pairs_of(const std::vector<EvenStretch>& stretches) {
    Pairs out;
    for (const EvenStretch& s : stretches) out.emplace_back(s.from_s, s.to_s);
    return out;
}

Status split(const std::vector<EvenStretch>& stretches, OnOff& out) {
    if (stretches.size() < 2) {
        return Error{
            ErrorCode::invalid_value,
            "the level is the same all through: switch the generator on and off, some seconds "
            "each, within one recording"};
    }
    const double middle = middle_level(stretches);
    for (const EvenStretch& s : stretches) (s.level_db > middle ? out.on : out.off).push_back(s);
    for (const auto* some : {&out.on, &out.off}) {
        const double seconds = seconds_of(*some);
        if (seconds < kLeastOnOffS) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("only {:.1f} s with the generator {}; at least {:g} s are needed, "
                            "10 s for 0.2 dB",
                            seconds, some == &out.on ? "on" : "off", kLeastOnOffS)};
        }
        // On and off must each be one level: more of them are a series.
        for (const EvenStretch& s : *some) {
            if (std::abs(s.level_db - some->front().level_db) > 1.5) {
                return Error{
                    ErrorCode::invalid_value,
                    fmt::format("more than two levels: {:.1f} and {:.1f} dBFS with the generator "
                                "{}; for a series name its levels",
                                some->front().level_db + 3.01, s.level_db + 3.01,
                                some == &out.on ? "on" : "off")};
            }
        }
    }
    return Done{};
}

// Times of counted steps, from the stretches found.
Status place_steps(std::vector<LevelStep>& steps, const std::vector<EvenStretch>& found,
                   double length_s) {
    if (steps.front().from_s) {
        for (LevelStep& step : steps) {
            if (!step.to_s) step.to_s = length_s;
            if (*step.to_s > length_s + 0.5 || *step.from_s >= length_s) {
                return Error{
                    ErrorCode::invalid_value,
                    fmt::format("the step at {:g} s reaches beyond the recording of {:.1f} s",
                                *step.from_s, length_s)};
            }
        }
        return Done{};
    }
    if (found.size() != steps.size()) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{} steps are named, {} were found in the audio: give their times "
                                 "(seconds,dbm) instead of counting them",
                                 steps.size(), found.size())};
    }
    for (std::size_t n = 0; n < steps.size(); ++n) {
        steps[n].from_s = found[n].from_s;
        steps[n].to_s = found[n].to_s;
    }
    return Done{};
}

std::string where(const std::optional<double>& mhz) {
    return mhz ? fmt::format("{:g} MHz", *mhz) : "";
}

Status fill_point(SeriesPoint& point, std::span<const float> audio, double sample_rate_hz,
                  const BlockPowers& blocks, const std::vector<LevelStep>& steps,
                  const ToneTrackConfig& config) {
    Pairs off;
    for (const LevelStep& step : steps) {
        if (!step.dbm) off.emplace_back(*step.from_s, *step.to_s);
    }
    const std::string at = point.mhz ? where(point.mhz) + ": " : "";
    if (off.empty())
        return Error{ErrorCode::invalid_value,
                     at + "no step with the generator off; one is needed for the noise"};
    const auto noise = blocks.mean(off, kGuardS);
    if (noise.seconds < kShortestStretchS || noise.power.value <= 0.0) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{}only {:.1f} s of noise with the generator off; at least {:g} s after "
                        "{:g} s at each edge",
                        at, noise.seconds, kShortestStretchS, kGuardS)};
    }
    point.noise_power = noise.power.value;
    std::vector<LevelPoint> ratios, sinads;
    for (const LevelStep& step : steps) {
        if (!step.dbm) continue;
        const Pairs one{{*step.from_s, *step.to_s}};
        const auto power = blocks.mean(one, kGuardS);
        if (power.seconds < kShortestStretchS) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("{}the step of {:g} dBm lasts {:.1f} s; at least {:g} s are needed", at,
                            *step.dbm, *step.to_s - *step.from_s,
                            kShortestStretchS + 2.0 * kGuardS)};
        }
        SeriesStep out{step, ratio_db(power.power, noise.power), {}};
        const ToneOf tone = tone_of(audio, sample_rate_hz, *step.from_s, *step.to_s, config);
        out.sinad_db = tone.sinad_db;
        point.gain_control = point.gain_control || is_gain_controlled(tone, noise.power);
        if (const auto ratio = signal_over_noise(out.ratio_db))
            ratios.push_back({*step.dbm, *ratio});
        if (tone.sinad_db) {
            if (const auto ratio = signal_over_noise(*tone.sinad_db))
                sinads.push_back({*step.dbm, *ratio});
        }
        point.strongest_dbm = *step.dbm;
        point.steps.push_back(out);
    }
    if (point.steps.empty())
        return Error{ErrorCode::invalid_value, at + "no generator level is named"};
    const auto curve = level_for(ratios, kAt10Db);
    if (point.gain_control) {
        point.problem = kGainControlSaid;
    } else if (curve) {
        point.for_10db = *curve;
        // At (S+N)/N of 10, S/N moves by 10 / 9 of what the noise moves, in dB.
        const double noise_db =
            kDbPerNeper * noise.power.uncertainty_95 / noise.power.value * 10.0 / 9.0;
        Figure& level = point.for_10db->level_dbm;
        level.uncertainty_95 = std::hypot(level.uncertainty_95, noise_db / curve->slope.value);
    } else {
        point.problem = curve.error().message;
    }
    const auto sinad = level_for(sinads, kAtSinad12);
    if (sinad) {
        point.for_sinad12 = *sinad;
    } else {
        point.sinad_problem = sinad.error().message;
    }
    return Done{};
}

void mark_dead(Series& series) {
    std::vector<double> levels;
    for (const SeriesPoint& p : series.points)
        levels.push_back(p.for_10db ? p.for_10db->level_dbm.value : 1e9);
    if (levels.size() < 3) return;
    std::sort(levels.begin(), levels.end());
    const double middle = levels[(levels.size() - 1) / 2];
    for (SeriesPoint& p : series.points) {
        if (p.gain_control) continue;
        p.dead = p.for_10db ? p.for_10db->level_dbm.value > middle + kDeadByDb
                            : p.strongest_dbm > middle + kDeadByDb;
    }
}

}  // namespace

Result<OnOff> measure_on_off(std::span<const float> audio, double sample_rate_hz,
                             const ToneTrackConfig& config) {
    if (const Status right = check_audio(audio, sample_rate_hz); !right) return right.error();
    const auto blocks = block_powers(audio, sample_rate_hz, clamped(config.band, sample_rate_hz));
    if (!blocks) return blocks.error();
    OnOff out;
    if (const Status right = split(find_stretches(*blocks), out); !right) return right.error();
    const auto on = blocks->mean(pairs_of(out.on), kGuardS);
    const auto off = blocks->mean(pairs_of(out.off), kGuardS);
    if (on.seconds < kShortestStretchS || off.seconds < kShortestStretchS ||
        off.power.value <= 0.0) {
        return Error{
            ErrorCode::invalid_value,
            "with the generator off there is no noise at all: is the receiver on, its gain up?"};
    }
    out.on_s = on.seconds;
    out.off_s = off.seconds;
    out.noise_power = off.power.value;
    out.ratio_db = ratio_db(on.power, off.power);
    if (out.ratio_db.value < kLeastStepDb) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("on and off differ by {:.2f} dB only; at least {:g} dB are needed",
                                 out.ratio_db.value, kLeastStepDb)};
    }
    const auto longest = std::max_element(out.on.begin(), out.on.end(),
                                          [](const EvenStretch& a, const EvenStretch& b) {
                                              return a.to_s - a.from_s < b.to_s - b.from_s;
                                          });
    const ToneOf tone = tone_of(audio, sample_rate_hz, longest->from_s, longest->to_s, config);
    out.sinad_db = tone.sinad_db;
    if (is_gain_controlled(tone, off.power))
        return Error{ErrorCode::invalid_value, kGainControlSaid};
    return out;
}

Result<Series> measure_series(std::span<const float> audio, double sample_rate_hz,
                              std::vector<LevelStep> steps, const ToneTrackConfig& config) {
    if (const Status right = check_audio(audio, sample_rate_hz); !right) return right.error();
    if (steps.empty()) return Error{ErrorCode::invalid_value, "no generator level is named"};
    const auto blocks = block_powers(audio, sample_rate_hz, clamped(config.band, sample_rate_hz));
    if (!blocks) return blocks.error();
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    if (const Status right = place_steps(steps, find_stretches(*blocks), length_s); !right)
        return right.error();
    std::map<double, std::vector<LevelStep>> by_mhz;
    for (const LevelStep& step : steps) by_mhz[step.mhz.value_or(0.0)].push_back(step);
    Series out;
    for (const auto& [mhz, some] : by_mhz) {
        SeriesPoint point;
        point.mhz = some.front().mhz;
        if (const Status right = fill_point(point, audio, sample_rate_hz, *blocks, some, config);
            !right) {
            return right.error();
        }
        out.points.push_back(std::move(point));
    }
    mark_dead(out);
    return out;
}

}  // namespace skedlark::bench
