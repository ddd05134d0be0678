#include "dsp/copy/gain_tracker.h"

#include <algorithm>
#include <cmath>

#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

// How far back the models are compared, s of key-down time.
constexpr double kCompareS = 6.0;
// None falls so far behind that it could not come back soon.
constexpr double kMostBehind = 30.0;
// Frames less likely to be in a mark than this say nothing of its gain.
constexpr float kLeastDown = 0.02F;

}  // namespace

void GainTracker::begin(std::int64_t at) {
    settled_ = at;
    begun_ = false;
    followers_ = {};
    best_ = 1;
    lately_ = all_ = {};
}

void GainTracker::weigh(const MarkEvidence& evidence, std::span<const float> key_down) {
    heard_.clear();
    down_.clear();
    for (std::size_t i = 0; i < key_down.size(); ++i) {
        // Beside a gap a frame may be keyed in part.
        const std::size_t last = std::min(i + 1, key_down.size() - 1);
        down_.push_back(std::min({key_down[i > 0 ? i - 1 : 0], key_down[i], key_down[last]}));
    }
    for (std::size_t i = 0; i < key_down.size(); ++i) {
        const auto& [z, noise] = evidence.heard(settled_ + static_cast<std::int64_t>(i));
        const bool down = down_[i] >= kLeastDown;
        heard_.push_back({z, down ? noise / static_cast<double>(down_[i]) : 0.0});
    }
}

void GainTracker::forward(std::size_t m, std::int64_t settle, double mean_power) {
    static const double kForget = 1.0 / (kCompareS * tone::kBasebandRateHz);
    const GainModel model(kChangesPerS[m], mean_power);
    Follower& follower = followers_[m];
    GainState state = begun_ ? follower.state : model.unknown();
    double log_odds = follower.log_odds;
    before_[m].clear();
    for (std::size_t i = 0; i <= heard_.size(); ++i) {
        if (static_cast<std::int64_t>(i) == settle) {
            follower = {state, log_odds};
        }
        before_[m].push_back(state);
        if (i == heard_.size()) {
            break;
        }
        if (heard_[i].noise > 0.0) {
            log_odds = log_odds * (1.0 - kForget * static_cast<double>(down_[i])) +
                       GainModel::update(state, heard_[i].z, heard_[i].noise);
        }
        state = model.predict(state);
    }
}

void GainTracker::backward(const GainModel& model) {
    after_.assign(heard_.size() + 1, {});
    GainState state = model.unknown();
    for (std::size_t i = heard_.size(); i-- > 0;) {
        state = model.predict(state);
        if (heard_[i].noise > 0.0) {
            GainModel::update(state, heard_[i].z, heard_[i].noise);
        }
        after_[i] = model.message(state);
    }
}

void GainTracker::watch_turning(std::int64_t settle) {
    lately_ = {};
    if (kChangesPerS[best_] >= kFastestFading) return;
    for (std::size_t i = 0; i < static_cast<std::size_t>(settle); ++i) {
        const GainMeans g = means_of(after_[i], before_[best_][i]);
        lately_.across += g.gain_re * g.rate_im - g.gain_im * g.rate_re;
        lately_.power += g.gain_re * g.gain_re + g.gain_im * g.gain_im;
    }
    all_.across += lately_.across;
    all_.power += lately_.power;
}

void GainTracker::follow(MarkEvidence& evidence, std::span<const float> key_down,
                         std::int64_t settle, double mean_power) {
    weigh(evidence, key_down);
    for (std::size_t m = 0; m < followers_.size(); ++m) {
        forward(m, settle, mean_power);
    }
    begun_ = true;
    const auto best = std::max_element(
        followers_.begin(), followers_.end(),
        [](const Follower& a, const Follower& b) { return a.log_odds < b.log_odds; });
    best_ = static_cast<std::size_t>(best - followers_.begin());
    for (Follower& follower : followers_) {
        follower.log_odds = std::max(follower.log_odds, best->log_odds - kMostBehind);
    }
    const GainModel model(kChangesPerS[best_], mean_power);
    backward(model);
    watch_turning(settle);
    evidence.expect_changes(model);
    evidence.expect_fading(best_ > 0 && kChangesPerS[best_] <= kFastestFading);
    for (std::size_t i = 0; i <= heard_.size(); ++i) {
        evidence.expect_gain(settled_ + static_cast<std::int64_t>(i), before_[best_][i], after_[i]);
    }
    settled_ += settle;
}

}  // namespace skedlark::copy
