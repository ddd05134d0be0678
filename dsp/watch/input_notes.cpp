#include "dsp/watch/input_notes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::watch {

namespace {
const auto kSecond = static_cast<FrameIndex>(kWorkRateHz);

double peak_dbfs(float peak) {
    const auto value = static_cast<double>(peak);
    return db_from_power(std::max(1.0e-30, value * value));
}
}  // namespace

std::span<const float> InputNotes::process(std::span<const float> audio, bool lost,
                                           std::vector<Event>& out) {
    clean_.assign(audio.begin(), audio.end());
    for (float& sample : clean_) {
        if (!std::isfinite(sample)) {
            sample = 0.0F;
            not_numbers_ = not_numbers_ || !lost;
        }
        if (!lost) {
            ++heard_;
            clipped_ += std::abs(sample) >= kFullScale ? 1 : 0;
            peak_ = std::max(peak_, std::abs(sample));
        }
        ++at_frame_;
        if (at_frame_ % kSecond == 0) {
            end_second(out);
        }
    }
    return clean_;
}

void InputNotes::end_second(std::vector<Event>& out) {
    if (heard_ > 0) {
        const bool low = peak_dbfs(peak_) < kTooLowDbfs;
        low_s_ = low ? low_s_ + 1 : 0;
        low_peak_ = low_s_ <= 1 ? peak_ : std::max(low_peak_, peak_);
        const bool low_for_long = low_s_ >= kLowForS;
        tell(silent_fault_, low_for_long && low_peak_ == 0.0F,
             "no sound at all comes in (exact zeros): is the right input chosen, is it muted?",
             out);
        tell(
            low_fault_, low_for_long && low_peak_ > 0.0F,
            fmt::format("the level is too low: peak {:.0f} dBFS; turn the receiver or the input up",
                        peak_dbfs(low_peak_)),
            out);
        tell(clip_fault_, clipped_ > kClippedShare * heard_,
             fmt::format("the input clips: {:.1f} % of the samples are at full scale; turn the "
                         "receiver or the input down",
                         100.0 * clipped_ / heard_),
             out);
        tell(number_fault_, not_numbers_, "some samples are not numbers; they are taken as silence",
             out);
    }
    heard_ = clipped_ = 0;
    peak_ = 0.0F;
    not_numbers_ = false;
}

void InputNotes::tell(Fault& fault, bool seen, const std::string& text, std::vector<Event>& out) {
    if (seen && fault.seconds_since >= kQuietBetweenS) {
        out.emplace_back(NoteEvent{at_frame_, text});
    }
    fault.seconds_since = seen ? 0 : fault.seconds_since + 1;
}

}  // namespace skedlark::watch
