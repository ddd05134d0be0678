// The way back to a station while it is heard.
//
// Stage:   gui/sweep, no Qt. In: audio from the hub. Out: snapshots.
// Units:   hertz, divisions, seconds.
// Shape:   one station an object.
// Time:    advice four times a second where the tone stands out.
// Errors:  create() passes on those of the guide.
// Threads: as audio_user.h; state() copies under a lock.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp; its guide in tests/dsp/watch/zero_in_guide_test.cpp
#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "dsp/watch/zero_in_guide.h"
#include "gui/listen/audio_user.h"

namespace skedlark::gui {

struct ZeroInState {
    double near_div = 0.0;  // where the station was met
    double wanted_hz = 0.0;
    std::optional<dial::ZeroInAdvice> advice{};  // empty while nothing is heard
    bool held = false;
    double held_hz = 0.0;
    std::optional<watch::CallHeard> call{};
    bool ended = false;  // no more audio comes
};

class ZeroInUser : public AudioUser {
 public:
    [[nodiscard]] static Result<std::shared_ptr<ZeroInUser>> create(
        const dial::Dial& dial, double div, const std::vector<std::string>& calls);

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override;
    [[nodiscard]] ZeroInState state() const;

 private:
    explicit ZeroInUser(watch::ZeroInGuide guide);
    watch::ZeroInGuide guide_;  // the hub thread's
    mutable std::mutex mutex_;
    ZeroInState state_;
};

}  // namespace skedlark::gui
