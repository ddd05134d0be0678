#include "dsp/watch/tone_choice.h"

#include <algorithm>
#include <cmath>

namespace skedlark::watch {

namespace {

// Below this, odds no longer tell tones apart; their strength does.
constexpr double kCertainOdds = 1.0e-9;

double distance_hz(const ChoiceConfig& config, double pitch_hz, double moved_hz) {
    return std::abs(pitch_hz - (config.told_hz.value_or(0.0) + moved_hz));
}

bool is_within(const ChoiceConfig& config, const Candidate& candidate, double moved_hz) {
    const double shift = config.told_hz ? moved_hz : 0.0;
    return candidate.pitch_hz >= config.from_hz + shift &&
           candidate.pitch_hz <= config.to_hz + shift;
}

bool is_worth_a_trial(const Candidate& candidate) {
    return !candidate.keyed && candidate.false_alarm_odds < kCertainOdds &&
           candidate.known_s > kTryUnknownAfterS;
}

bool is_same(const Candidate& candidate, const Followed& followed) {
    return candidate.tone == followed.tone ||
           std::abs(candidate.pitch_hz - followed.pitch_hz) < kSameToneHz;
}

// A stronger tone that is not judged yet may be what this one is only a side band of.
bool must_wait(const ChoiceConfig& config, const Candidate& candidate,
               std::span<const Candidate> found) {
    return !config.told_hz && std::any_of(found.begin(), found.end(), [&](const Candidate& other) {
        return !other.keyed && other.known_s < kMayProveKeyedS &&
               other.snr_2500hz_db > candidate.snr_2500hz_db + kClearlyStrongerDb;
    });
}

bool has_claim(const ChoiceConfig& config, const Candidate& candidate, const Followed& followed,
               double moved_hz) {
    if (!followed.real || followed.silent_s > config.yield_after_s) {
        return true;
    }
    if (!config.told_hz && !followed.makes_sense &&
        candidate.snr_2500hz_db > followed.snr_2500hz_db + kMuchStrongerDb) {
        return true;
    }
    return config.told_hz && distance_hz(config, candidate.pitch_hz, moved_hz) + kClearlyNearerHz <
                                 distance_hz(config, followed.start_hz, 0.0);
}

}  // namespace

bool is_likelier(const ChoiceConfig& config, const Candidate& a, const Candidate& b,
                 double moved_hz) {
    if (config.told_hz) {
        return distance_hz(config, a.pitch_hz, moved_hz) <
               distance_hz(config, b.pitch_hz, moved_hz);
    }
    const double odds_a = std::max(a.false_alarm_odds, kCertainOdds);
    const double odds_b = std::max(b.false_alarm_odds, kCertainOdds);
    return odds_a != odds_b ? odds_a < odds_b : a.snr_2500hz_db > b.snr_2500hz_db;
}

Choice choose(const ChoiceConfig& config, std::span<const Candidate> found,
              std::span<const Followed> followed, double moved_hz) {
    Choice choice;
    std::vector<Followed> kept;
    for (const Followed& tone : followed) {
        if (tone.not_keyed_s > kDropAfterS) {
            choice.not_keyed.push_back(tone.tone);
        } else {
            kept.push_back(tone);
        }
    }
    std::vector<Candidate> wanted;
    std::vector<Candidate> trials;
    for (const Candidate& candidate : found) {
        const bool known = std::any_of(followed.begin(), followed.end(), [&](const Followed& tone) {
            return is_same(candidate, tone);
        });
        if (known || !is_within(config, candidate, moved_hz)) {
            continue;
        }
        if (must_wait(config, candidate, found)) {
            continue;
        }
        if (candidate.keyed.value_or(false)) {
            wanted.push_back(candidate);
        } else if (is_worth_a_trial(candidate)) {
            trials.push_back(candidate);
        }
    }
    std::stable_sort(wanted.begin(), wanted.end(), [&](const Candidate& a, const Candidate& b) {
        return is_likelier(config, a, b, moved_hz);
    });
    for (const Candidate& candidate : wanted) {
        if (static_cast<int>(kept.size() + choice.take_up.size()) < config.tones) {
            choice.take_up.push_back(candidate.tone);
            continue;
        }
        // The longest silent of those that must give way.
        auto loser = kept.end();
        for (auto tone = kept.begin(); tone != kept.end(); ++tone) {
            if (has_claim(config, candidate, *tone, moved_hz) &&
                (loser == kept.end() || tone->silent_s > loser->silent_s)) {
                loser = tone;
            }
        }
        if (loser != kept.end()) {
            choice.yield.push_back(loser->tone);
            kept.erase(loser);
            choice.take_up.push_back(candidate.tone);
        }
    }
    std::stable_sort(trials.begin(), trials.end(), [&](const Candidate& a, const Candidate& b) {
        return is_likelier(config, a, b, moved_hz);
    });
    for (const Candidate& trial : trials) {
        if (static_cast<int>(kept.size() + choice.take_up.size()) < config.tones) {
            choice.take_up.push_back(trial.tone);
        }
    }
    return choice;
}

}  // namespace skedlark::watch
