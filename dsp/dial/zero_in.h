// Leads the hand from a station that is heard to the listening pitch: how far, and which way.
//
// Stage:   dial. In: the pitch heard, as it moves. Out: what to do with the dial.
// Units:   hertz, seconds, divisions as read.
// Shape:   a pitch at a time, in order of time.
// Time:    the side of zero beat is known once the pitch has moved by kMovedHz or more under the hand.
// Errors:  create() returns invalid_value naming the field; a pitch that is not finite counts for
//          nothing.
// Threads: one thread per instance.
// Source:  pitch is the distance from zero beat, so that one pitch is heard on both sides of it. Which
//          side is told by the way the pitch goes while the dial is turned as advised: odds by Bayes'
//          rule, a hand taken to turn as advised in kObeys of its moves (assumed, not measured).
// Checked: tests/dsp/dial/zero_in_test.cpp
#pragma once

#include <optional>

#include "dsp/core/result.h"
#include "dsp/dial/receiver.h"

namespace skedlark::dial {

struct ZeroInConfig {
    double pitch_hz = 700.0;                // listening pitch, 100 to 4000
    double khz_per_div = 30.0;              // at the station, either sign, not 0
    double tolerance_hz = 40.0;             // near enough, 1 to 1000
    ListenSide listen = ListenSide::above;  // side the station is listened to on
};

enum class Turn { here, up, down };  // up: to higher divisions

struct ZeroInAdvice {
    double pitch_hz = 0.0;
    double off_hz = 0.0;    // pitch over the listening pitch
    double turn_div = 0.0;  // how far, 0 and more
    Turn turn = Turn::here;
    // Which side of zero beat is known. Where it is not, `turn` is only a trial: a little, and the
    // pitch will tell.
    bool sure = false;
    bool cross = false;  // the way leads through zero beat
};

class ZeroIn {
 public:
    static constexpr double kMovedHz = 25.0;
    static constexpr double kObeys = 0.85;

    [[nodiscard]] static Result<ZeroIn> create(const ZeroInConfig& config);

    // A pitch heard, with its standard deviation.
    void heard(double at_s, double pitch_hz, double pitch_sd_hz);
    // Nothing heard for a while, the dial moved unheard: what was known of the side is forgotten.
    void lost();
    // Empty until a pitch was heard.
    [[nodiscard]] std::optional<ZeroInAdvice> advice() const;

 private:
    explicit ZeroIn(const ZeroInConfig& config) : config_(config) {}
    void anchor(double at_s);

    ZeroInConfig config_;
    double above_log_odds_ = 0.0;  // that the station stands above the dial's frequency
    std::optional<double> anchor_hz_;
    double anchor_s_ = 0.0;
    double anchor_way_ = 0.0;  // as advised then, of the frequency: +1 higher, -1 lower, 0 hold
    double pitch_hz_ = 0.0;
};

}  // namespace skedlark::dial
