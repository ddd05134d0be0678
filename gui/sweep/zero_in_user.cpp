#include "gui/sweep/zero_in_user.h"

#include <utility>

namespace skedlark::gui {

Result<std::shared_ptr<ZeroInUser>> ZeroInUser::create(const dial::Dial& dial, double div,
                                                       const std::vector<std::string>& calls) {
    auto guide = watch::ZeroInGuide::create(dial, div, calls);
    if (!guide) return guide.error();
    return std::shared_ptr<ZeroInUser>(new ZeroInUser(*std::move(guide)));
}

ZeroInUser::ZeroInUser(watch::ZeroInGuide guide) : guide_(std::move(guide)) {
    state_.near_div = guide_.div();
    state_.wanted_hz = guide_.pitch_hz();
}

void ZeroInUser::begin(const HeardInput& /*input*/) {
    const std::lock_guard lock(mutex_);
    state_.ended = false;
}

void ZeroInUser::take(const watch::Block& block, FrameIndex /*first_frame*/) {
    guide_.process(block.audio, block.lost);
    (void)guide_.take_told();
    const std::lock_guard lock(mutex_);
    state_.advice = guide_.advice();
    state_.held = guide_.held();
    state_.held_hz = guide_.held_pitch_hz();
    state_.call = guide_.call();
}

void ZeroInUser::end() {
    const std::lock_guard lock(mutex_);
    state_.ended = true;
}

ZeroInState ZeroInUser::state() const {
    const std::lock_guard lock(mutex_);
    return state_;
}

}  // namespace skedlark::gui
