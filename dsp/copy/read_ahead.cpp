#include "dsp/copy/read_ahead.h"

#include <algorithm>
#include <cmath>

#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

// The next letter's marks are heard by then, the next word's first ones mostly.
constexpr double kAheadDots = 16.0;
constexpr double kLeastAheadS = 0.5;
constexpr double kMostAheadS = 4.0;
// The gain is followed so many times while the key is read ahead.
constexpr std::int64_t kLooks = 4;

// Without the text, lengths are told less surely than by a hand's own spread.
Timing loosened(Timing timing) {
    for (Length* length : {&timing.dot, &timing.dash, &timing.element_gap, &timing.character_gap,
                           &timing.word_gap}) {
        length->cv = std::min(0.4, 1.3 * length->cv + 0.02);
    }
    return timing;
}

}  // namespace

ReadAhead::ReadAhead(int capacity) : trellis_(CodeTree::standard(), capacity), key_(capacity) {}

void ReadAhead::set_hand(const Timing& timing) {
    ahead_ =
        std::clamp(static_cast<std::int64_t>(kAheadDots * timing.dot.mean_frames),
                   tone::frames_from_seconds(kLeastAheadS), tone::frames_from_seconds(kMostAheadS));
    hop_ = std::max<std::int64_t>(1, ahead_ / kLooks);
}

void ReadAhead::begin(std::int64_t at, const std::vector<Timing>& hands, double mean_power) {
    set_hand(hands.front());
    mean_power_ = mean_power;
    trellis_.begin(at, hands);
    key_.begin(at, loosened(hands.front()));
    gain_.begin(at);
}

void ReadAhead::follow(const std::vector<Timing>& hands, double mean_power) {
    for (int h = 0; h < trellis_.hands(); ++h) {
        const Timing& wanted = hands[static_cast<std::size_t>(h)];
        if (differ(wanted, trellis_.hand(h).timing)) {
            trellis_.retime(h, wanted);
            if (h == 0) {
                key_.retime(loosened(wanted));
                set_hand(wanted);
            }
        }
    }
    mean_power_ = mean_power;
}

bool ReadAhead::advance(MarkEvidence& evidence) {
    while (key_.now() < evidence.size()) {
        key_.advance(evidence);
        if (key_.now() - firm() >= ahead_ + hop_) {
            look(evidence, key_.now() - firm() - ahead_);
            return true;
        }
    }
    return false;
}

void ReadAhead::look(MarkEvidence& evidence, std::int64_t settle) {
    down_.resize(static_cast<std::size_t>(key_.now() - firm()));
    key_.down(firm(), down_);
    gain_.follow(evidence, down_, settle, mean_power_);
    trellis_.go_back();
    while (trellis_.now() < firm()) {
        trellis_.advance(evidence);
    }
    trellis_.keep();
}

void ReadAhead::extend(const MarkEvidence& evidence) {
    while (trellis_.now() < now()) {
        trellis_.advance(evidence);
    }
}

void ReadAhead::finish(MarkEvidence& evidence) {
    while (advance(evidence)) {
    }
    look(evidence, key_.now() - firm());
}

}  // namespace skedlark::copy
