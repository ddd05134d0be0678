#include "dsp/dial/zero_in.h"

#include <algorithm>
#include <cmath>

#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

// Never so sure that a hand that went through zero beat unnoticed needs long to be believed.
constexpr double kMostLogOdds = 3.5;
constexpr double kSureLogOdds = 1.5;
// What moves slower than this is drift, not the hand.
constexpr double kDriftHzPerS = 5.0;
constexpr double kStaleS = 10.0;  // an anchor older than this says nothing about the last move
constexpr double kSds = 4.0;      // a move must stand out of the error of both pitches

}  // namespace

Result<ZeroIn> ZeroIn::create(const ZeroInConfig& config) {
    for (const Status& s : {within("pitch_hz", config.pitch_hz, 100.0, 4000.0),
                            within("khz_per_div", std::abs(config.khz_per_div), 1e-4, 1e5),
                            within("tolerance_hz", config.tolerance_hz, 1.0, 1000.0)}) {
        if (!s) return s.error();
    }
    return ZeroIn(config);
}

void ZeroIn::heard(double at_s, double pitch_hz, double pitch_sd_hz) {
    if (!std::isfinite(pitch_hz) || !std::isfinite(at_s) || pitch_hz < 0.0) return;
    pitch_hz_ = pitch_hz;
    if (!anchor_hz_) {
        anchor(at_s);
        return;
    }
    const double moved_hz = pitch_hz - *anchor_hz_;
    const double gone_s = at_s - anchor_s_;
    if (std::abs(moved_hz) < std::max(kMovedHz, kSds * pitch_sd_hz)) {
        // A dial that rests: the next move is counted from here.
        if (gone_s > kStaleS) anchor(at_s);
        return;
    }
    if (std::abs(moved_hz) > kDriftHzPerS * gone_s) {
        // Going up in frequency, a station above comes nearer to zero beat.
        static const double kEvidence = std::log(kObeys / (1.0 - kObeys));
        const double says_above = moved_hz * anchor_way_ < 0.0 ? kEvidence : -kEvidence;
        if (anchor_way_ != 0.0)
            above_log_odds_ = std::clamp(above_log_odds_ + says_above, -kMostLogOdds, kMostLogOdds);
    }
    anchor(at_s);
}

void ZeroIn::anchor(double at_s) {
    anchor_hz_ = pitch_hz_;
    anchor_s_ = at_s;
    const Turn turn = advice()->turn;
    const double way = turn == Turn::here ? 0.0 : turn == Turn::up ? 1.0 : -1.0;
    anchor_way_ = std::copysign(way, way * config_.khz_per_div);
}

void ZeroIn::lost() {
    above_log_odds_ = 0.0;
    anchor_hz_.reset();
}

std::optional<ZeroInAdvice> ZeroIn::advice() const {
    if (!anchor_hz_) return std::nullopt;
    ZeroInAdvice advice;
    advice.pitch_hz = pitch_hz_;
    advice.off_hz = pitch_hz_ - config_.pitch_hz;
    advice.sure = std::abs(above_log_odds_) >= kSureLogOdds;
    const bool above = above_log_odds_ >= 0.0;
    const bool wants_above = config_.listen == ListenSide::above;
    advice.cross = advice.sure && above != wants_above;
    const bool near = std::abs(advice.off_hz) <= config_.tolerance_hz;
    if (near && !advice.cross) return advice;
    // Hertz the dial's frequency must rise by, once on the wanted side of a station above it.
    const double rise_above = advice.cross ? -(pitch_hz_ + config_.pitch_hz) : advice.off_hz;
    const double rise = (wants_above ? 1.0 : -1.0) * rise_above;
    const double turn = rise / (1000.0 * config_.khz_per_div);
    advice.turn = turn >= 0.0 ? Turn::up : Turn::down;
    advice.turn_div = std::abs(turn);
    return advice;
}

}  // namespace skedlark::dial
