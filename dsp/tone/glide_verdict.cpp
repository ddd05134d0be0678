#include "dsp/tone/glide_verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <iterator>
#include <numbers>

#include "dsp/core/log_bessel.h"
#include "dsp/core/units.h"

namespace skedlark::tone {
namespace {

constexpr int kLookFrames = 320;
constexpr double kLookS = kLookFrames / kWorkRateHz;
constexpr int kPitches = 7;
constexpr double kPitchStepHz = 12.5;
constexpr int kLevels = 29;
constexpr double kLowestDb = -24.0;
constexpr double kLevelStepDb = 3.0;
// Chances from one look to the next.
constexpr double kPitchMoves = 0.10;  // one place up or down, each
constexpr double kLevelMoves = 0.08;  // one level up or down, each
constexpr double kKeyMoves = 0.30;    // down to up, up to down
// A look of any power at all, so that a key's edge or a crash cannot settle the matter alone.
constexpr double kOutlier = 1e-4;
constexpr double kKeyedOdds = 3.0;
constexpr double kSteadyOdds = -9.0;
// Against noise alone: where nothing is, a key that is up explains it better than a carrier.
constexpr double kLeastEvidence = 6.0;
constexpr int kFewestLooks = 10;
constexpr double kFewestInner = 3.0;

struct Look {
    double at_s = 0.0;
    std::array<double, kPitches> power{};  // over the mean of the noise
};

double place_hz(int place) { return (place - kPitches / 2) * kPitchStepHz; }

// Logarithm of exp(-a) I0(2 sqrt(a p)).
double log_ratio(double a, double p) { return log_bessel_i0(2.0 * std::sqrt(a * p)) - a; }

std::vector<Look> take_looks(const GlideAudio& audio, const GlideTrack& track) {
    std::vector<Look> looks;
    const double end_s = audio.first_s + static_cast<double>(audio.samples.size()) / kWorkRateHz;
    const double from_s = std::max(track.from_s() - 0.5 * kLookS, audio.first_s);
    const double to_s = std::min(track.to_s() + 0.5 * kLookS, end_s);
    std::array<std::complex<double>, kPitches> turns{};
    for (int k = 0; k < kPitches; ++k)
        turns[static_cast<std::size_t>(k)] =
            std::polar(1.0, -2.0 * std::numbers::pi * place_hz(k) / kWorkRateHz);
    for (double start_s = from_s; start_s + kLookS <= to_s; start_s += kLookS) {
        const double middle_s = start_s + 0.5 * kLookS;
        const double pitch_hz = std::abs(track.pitch_hz(middle_s));
        if (pitch_hz < audio.low_hz || pitch_hz > audio.high_hz) continue;
        const double noise = audio.noise_density(middle_s, pitch_hz);
        if (!(noise > 0.0)) continue;
        const auto first =
            static_cast<std::size_t>(std::max(0.0, (start_s - audio.first_s) * kWorkRateHz));
        if (first + kLookFrames > audio.samples.size()) break;
        // Within a look the track is a parabola of phase.
        const double begin_hz = track.pitch_hz(start_s);
        const double slope =
            (track.pitch_hz(start_s + kLookS) - begin_hz) / kLookFrames;  // hertz a sample
        std::array<std::complex<double>, kPitches> sums{};
        std::array<std::complex<double>, kPitches> turned;
        turned.fill({1.0, 0.0});
        std::complex<double> rest{1.0, 0.0};
        std::complex<double> turn =
            std::polar(1.0, -2.0 * std::numbers::pi * (begin_hz + 0.5 * slope) / kWorkRateHz);
        const std::complex<double> bend =
            std::polar(1.0, -2.0 * std::numbers::pi * slope / kWorkRateHz);
        for (std::size_t n = 0; n < kLookFrames; ++n) {
            const auto sample = static_cast<double>(audio.samples[first + n]);
            const std::complex<double> value = (std::isfinite(sample) ? sample : 0.0) * rest;
            for (std::size_t k = 0; k < kPitches; ++k) {
                sums[k] += value * turned[k];
                turned[k] *= turns[k];
            }
            rest *= turn;
            turn *= bend;
        }
        Look look;
        look.at_s = middle_s;
        const double noise_power = kLookFrames * noise * 0.5 * kWorkRateHz;
        for (std::size_t k = 0; k < kPitches; ++k) look.power[k] = std::norm(sums[k]) / noise_power;
        looks.push_back(look);
    }
    return looks;
}

constexpr int kPlaces = kPitches * kLevels;

struct Emission {
    std::array<double, kPlaces> down{};  // likelihoods over exp(scale)
    double up = 1.0;
    double scale = 0.0;  // logarithm
};

// Against the likeliest place of the look, or against noise where that is likelier still.
Emission emission_of(const Look& look) {
    Emission emission;
    std::array<double, kPlaces> logs{};
    for (int level = 0; level < kLevels; ++level) {
        const double snr = power_from_db(kLowestDb + kLevelStepDb * level);
        const double a = kLookS * kReferenceBandwidthHz * snr;
        for (int k = 0; k < kPitches; ++k)
            logs[static_cast<std::size_t>(level * kPitches + k)] =
                log_ratio(a, look.power[static_cast<std::size_t>(k)]);
    }
    emission.scale = std::max(0.0, *std::max_element(logs.begin(), logs.end()));
    for (std::size_t i = 0; i < kPlaces; ++i)
        emission.down[i] = std::max(kOutlier, std::exp(logs[i] - emission.scale));
    emission.up = std::max(kOutlier, std::exp(-emission.scale));
    return emission;
}

// The chain over place, level and key; steady: the key is always down.
class Chain {
 public:
    Chain(const std::vector<Emission>& emissions, bool keyed)
        : keyed_(keyed), emissions_(emissions) {}

    // Log likelihood against noise alone.
    double forward() {
        State state{};
        for (auto& value : state.down) value = (keyed_ ? 0.5 : 1.0) / kPlaces;
        if (keyed_)
            for (auto& value : state.up) value = 0.5 / kPlaces;
        double log_likelihood = 0.0;
        forward_.clear();
        for (std::size_t n = 0; n < emissions_.size(); ++n) {
            if (n > 0) state = moved(state);
            log_likelihood += weigh(state, n);
            forward_.push_back(state);
        }
        return log_likelihood;
    }

    // Chance of every place with the key down, look by look; after forward().
    std::vector<std::array<double, kPlaces>> posterior() {
        std::vector<std::array<double, kPlaces>> out(emissions_.size());
        State back{};
        back.down.fill(1.0);
        back.up.fill(1.0);
        for (std::size_t n = emissions_.size(); n-- > 0;) {
            double sum = 0.0;
            for (std::size_t i = 0; i < kPlaces; ++i) {
                out[n][i] = forward_[n].down[i] * back.down[i];
                sum += out[n][i] + forward_[n].up[i] * back.up[i];
            }
            for (auto& value : out[n]) value /= sum;
            weigh(back, n);
            back = moved(back);  // the moves are as likely both ways
        }
        return out;
    }

 private:
    struct State {
        std::array<double, kPlaces> down{};
        std::array<double, kPlaces> up{};
    };

    double weigh(State& state, std::size_t n) const {
        const Emission& emission = emissions_[n];
        double sum = 0.0;
        for (std::size_t i = 0; i < kPlaces; ++i) {
            state.down[i] *= emission.down[i];
            state.up[i] *= emission.up;
            sum += state.down[i] + state.up[i];
        }
        for (std::size_t i = 0; i < kPlaces; ++i) {
            state.down[i] /= sum;
            state.up[i] /= sum;
        }
        return std::log(sum) + emission.scale;
    }

    static std::array<double, kPlaces> wandered(const std::array<double, kPlaces>& from) {
        std::array<double, kPlaces> sideways{};
        for (int level = 0; level < kLevels; ++level) {
            for (int k = 0; k < kPitches; ++k) {
                const auto at = [&](int place) {
                    return from[static_cast<std::size_t>(level * kPitches +
                                                         std::clamp(place, 0, kPitches - 1))];
                };
                sideways[static_cast<std::size_t>(level * kPitches + k)] =
                    (1.0 - 2.0 * kPitchMoves) * at(k) + kPitchMoves * (at(k - 1) + at(k + 1));
            }
        }
        std::array<double, kPlaces> out{};
        for (int level = 0; level < kLevels; ++level) {
            for (int k = 0; k < kPitches; ++k) {
                const auto at = [&](int other) {
                    return sideways[static_cast<std::size_t>(
                        std::clamp(other, 0, kLevels - 1) * kPitches + k)];
                };
                out[static_cast<std::size_t>(level * kPitches + k)] =
                    (1.0 - 2.0 * kLevelMoves) * at(level) +
                    kLevelMoves * (at(level - 1) + at(level + 1));
            }
        }
        return out;
    }

    [[nodiscard]] State moved(const State& from) const {
        State out;
        out.down = wandered(from.down);
        if (!keyed_) return out;
        out.up = wandered(from.up);
        for (std::size_t i = 0; i < kPlaces; ++i) {
            const double down = out.down[i];
            out.down[i] = (1.0 - kKeyMoves) * down + kKeyMoves * out.up[i];
            out.up[i] = (1.0 - kKeyMoves) * out.up[i] + kKeyMoves * down;
        }
        return out;
    }

    bool keyed_;
    const std::vector<Emission>& emissions_;
    std::vector<State> forward_;
};

// Of looks within a mark: one at its edge holds only part of it. Where there are too few, of all.
double level_db(const std::vector<double>& downs, const std::vector<double>& powers) {
    double inner_power = 0.0, inner = 0.0, all_power = 0.0, all = 0.0;
    for (std::size_t n = 0; n < downs.size(); ++n) {
        all_power += powers[n];
        all += downs[n];
        if (n == 0 || n + 1 == downs.size()) continue;
        const double beside = downs[n - 1] * downs[n + 1];
        inner_power += beside * powers[n];
        inner += beside * downs[n];
    }
    if (all <= 0.0) return kLowestDb;
    return db_from_power(inner > kFewestInner ? inner_power / inner : all_power / all);
}

void measure(Chain& chain, const std::vector<Look>& looks, const GlideTrack& track,
             GlideVerdict& verdict) {
    const auto posterior = chain.posterior();
    double weight = 0.0;
    std::vector<double> downs;
    std::vector<double> powers;
    for (std::size_t n = 0; n < looks.size(); ++n) {
        double down = 0.0;
        double sum = 0.0;
        double squares = 0.0;
        double power = 0.0;
        for (int level = 0; level < kLevels; ++level) {
            const double snr = power_from_db(kLowestDb + kLevelStepDb * level);
            for (int k = 0; k < kPitches; ++k) {
                const double chance = posterior[n][static_cast<std::size_t>(level * kPitches + k)];
                down += chance;
                power += chance * snr;
                sum += chance * place_hz(k);
                squares += chance * place_hz(k) * place_hz(k);
            }
        }
        weight += down;
        downs.push_back(down);
        powers.push_back(power);
        if (down < 0.5) continue;
        const double mean_hz = sum / down;
        const double variance = std::max(0.0, squares / down - mean_hz * mean_hz);
        const double pitch_hz = track.pitch_hz(looks[n].at_s);
        // Places are steps: their own width comes on top. Neighbouring looks share their places,
        // so that each says less than it seems to.
        verdict.measured.push_back(
            {looks[n].at_s, pitch_hz + mean_hz,
             std::sqrt(2.0 * (variance + kPitchStepHz * kPitchStepHz / 12.0))});
    }
    verdict.share = looks.empty() ? 0.0 : weight / static_cast<double>(looks.size());
    verdict.snr_2500hz_db = level_db(downs, powers);
}

}  // namespace

GlideVerdict judge_glide(const GlideAudio& audio, const GlideTrack& track) {
    GlideVerdict verdict;
    const std::vector<Look> looks = take_looks(audio, track);
    std::vector<Emission> emissions;
    emissions.reserve(looks.size());
    std::transform(looks.begin(), looks.end(), std::back_inserter(emissions), emission_of);
    Chain keyed(emissions, true);
    Chain steady(emissions, false);
    const double keyed_likelihood = keyed.forward();
    const double steady_likelihood = steady.forward();
    verdict.log_odds_keyed = keyed_likelihood - steady_likelihood;
    verdict.evidence = std::max(keyed_likelihood, steady_likelihood);
    if (static_cast<int>(looks.size()) >= kFewestLooks) {
        if (verdict.log_odds_keyed > kKeyedOdds && keyed_likelihood > kLeastEvidence)
            verdict.keyed = true;
        if (verdict.log_odds_keyed < kSteadyOdds) verdict.keyed = false;
    }
    measure(verdict.log_odds_keyed > 0.0 ? keyed : steady, looks, track, verdict);
    return verdict;
}

}  // namespace skedlark::tone
