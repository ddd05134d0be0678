// After a sweep: leads the hand to the listening pitch of the station gone back to, and listens for the
// expected calls.
//
// Stage:   cli. In: work-rate audio. Out: lines to show, events as JSON Lines.
// Units:   seconds from the first sample given here, and from the input's start in JSON.
// Time:    four times a second where the tone stands out.
// Errors:  create() passes on those of its parts.
// Threads: one.
// Checked: tests/cli/sweep_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>

#include "dsp/dial/dial.h"
#include "dsp/dial/zero_in.h"
#include "dsp/tone/glance.h"
#include "dsp/watch/call_match.h"
#include "dsp/watch/watch.h"

namespace skedlark::cli {

class ZeroInGuide {
 public:
    // begins_s: of the input, where the first sample given here stands.
    [[nodiscard]] static Result<ZeroInGuide> create(const dial::Dial& dial, double div,
                                                    const std::vector<std::string>& calls,
                                                    double begins_s);

    void process(std::span<const float> audio, bool lost);
    // A line for the operator, at most 79 columns.
    [[nodiscard]] std::string line() const;
    // Events since the last call.
    [[nodiscard]] std::string take_json();
    // The pitch has been right, on the right side as far as is known, for some seconds.
    [[nodiscard]] bool held() const { return held_; }
    [[nodiscard]] double held_pitch_hz() const { return held_hz_; }
    [[nodiscard]] const std::optional<watch::CallHeard>& call() const { return match_.expected(); }
    [[nodiscard]] double seconds() const { return heard_s_; }

 private:
    ZeroInGuide(dial::ZeroIn zero_in, tone::GlanceMeter meter, watch::CallMatch match, double div,
                double pitch_hz, double begins_s);
    void take(const tone::Glance& glance);

    dial::ZeroIn zero_in_;
    tone::GlanceMeter meter_;
    watch::CallMatch match_;
    std::optional<watch::Watch> copying_;  // where a call is looked for
    double div_;
    double pitch_hz_;  // wanted
    double begins_s_;
    double heard_s_ = 0.0;
    std::optional<tone::Glance> last_;
    std::optional<double> right_since_s_;
    bool held_ = false;
    double held_hz_ = 0.0;
    std::string json_;
};

}  // namespace skedlark::cli
