// After a sweep: leads the hand to the listening pitch of the station gone back to, and listens for the
// expected calls.
//
// Stage:   watch. In: work-rate audio. Out: what to do with the dial, as it is found out.
// Units:   hertz, divisions; seconds from the first sample given here.
// Shape:   any number of samples a call.
// Time:    four times a second where the tone stands out.
// Errors:  create() passes on those of its parts.
// Threads: one.
// Source:  none; how long is long enough: common practice, no source.
// Checked: tests/dsp/watch/zero_in_guide_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/dial/dial.h"
#include "dsp/dial/zero_in.h"
#include "dsp/tone/glance.h"
#include "dsp/watch/call_match.h"
#include "dsp/watch/watch.h"

namespace skedlark::watch {

struct ZeroInTold {
    double at_s = 0.0;
    double pitch_hz = 0.0;  // of this glance
    dial::ZeroInAdvice advice{};
    bool held = false;
};

class ZeroInGuide {
 public:
    // begins_s: of the input, where the first sample given here stands.
    [[nodiscard]] static Result<ZeroInGuide> create(const dial::Dial& dial, double div,
                                                    const std::vector<std::string>& calls);

    void process(std::span<const float> audio, bool lost);
    // What to do now; empty while nothing is heard.
    [[nodiscard]] std::optional<dial::ZeroInAdvice> advice() const;
    // Advice since the last call, a glance each.
    [[nodiscard]] std::vector<ZeroInTold> take_told();
    [[nodiscard]] double div() const { return div_; }            // where the station was met
    [[nodiscard]] double pitch_hz() const { return pitch_hz_; }  // wanted
    // The pitch has been right, on the right side as far as is known, for some seconds.
    [[nodiscard]] bool held() const { return held_; }
    [[nodiscard]] double held_pitch_hz() const { return held_hz_; }
    [[nodiscard]] const std::optional<CallHeard>& call() const { return match_.expected(); }
    [[nodiscard]] double seconds() const { return heard_s_; }

 private:
    ZeroInGuide(dial::ZeroIn zero_in, tone::GlanceMeter meter, CallMatch match, double div,
                double pitch_hz);
    void take(const tone::Glance& glance);

    dial::ZeroIn zero_in_;
    tone::GlanceMeter meter_;
    CallMatch match_;
    std::optional<Watch> copying_;  // where a call is looked for
    double div_;
    double pitch_hz_;  // wanted
    double heard_s_ = 0.0;
    std::optional<tone::Glance> last_;
    std::optional<double> right_since_s_;
    bool held_ = false;
    double held_hz_ = 0.0;
    std::vector<ZeroInTold> told_;
};

}  // namespace skedlark::watch
