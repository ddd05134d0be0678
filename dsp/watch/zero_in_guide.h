// After a sweep: leads the hand to the listening pitch of the station gone back to, and listens for the
// expected calls.
//
// Stage:   watch. In: work-rate audio. Out: what to do with the dial, a call where one is copied.
// Units:   seconds from the first sample given here.
// Time:    four times a second where the tone stands out.
// Errors:  create() passes on those of its parts.
// Threads: one.
// Source:  none; tone/glance.h and dial/zero_in.h have theirs.
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

// A look at the tone, and what it told.
struct ZeroInStep {
    tone::Glance glance{};
    dial::ZeroInAdvice advice{};
    bool held = false;
};

class ZeroInGuide {
 public:
    // div: where the station was met, at zero beat. Calls may be none.
    [[nodiscard]] static Result<ZeroInGuide> create(const dial::Dial& dial, double div,
                                                    const std::vector<std::string>& calls);

    void process(std::span<const float> audio, bool lost);
    // Empty where nothing is heard by now.
    [[nodiscard]] std::optional<dial::ZeroInAdvice> advice() const;
    [[nodiscard]] double div() const { return div_; }
    // Since the last call.
    [[nodiscard]] std::vector<ZeroInStep> take_steps();
    // The pitch has been right, on the right side as far as is known, for some seconds.
    [[nodiscard]] bool held() const { return held_; }
    [[nodiscard]] double held_pitch_hz() const { return held_hz_; }
    [[nodiscard]] const std::optional<CallHeard>& call() const { return match_.expected(); }
    [[nodiscard]] double seconds() const { return heard_s_; }

 private:
    ZeroInGuide(dial::ZeroIn zero_in, tone::GlanceMeter meter, CallMatch match, double div);
    void take(const tone::Glance& glance);

    dial::ZeroIn zero_in_;
    tone::GlanceMeter meter_;
    CallMatch match_;
    std::optional<Watch> copying_;  // where a call is looked for
    double div_;
    double heard_s_ = 0.0;
    std::optional<tone::Glance> last_;
    std::optional<double> right_since_s_;
    bool held_ = false;
    double held_hz_ = 0.0;
    std::vector<ZeroInStep> steps_;
};

}  // namespace skedlark::watch
