#include "dsp/audio/source.h"

#include <cmath>

namespace skedlark::audio {

Result<ReadResult> Source::read(std::span<float> out) {
    Result<ReadResult> result = do_read(out);
    if (!result) return result;
    for (float& sample : out.first(static_cast<std::size_t>(result->frames))) {
        // Written so that NaN fails the comparison as well.
        if (!(std::fabs(sample) <= kMaxSampleMagnitude)) {
            sample = 0.0F;
            ++bad_samples_;
        }
    }
    return result;
}

}  // namespace skedlark::audio
