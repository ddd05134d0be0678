#include "dsp/copy/length_sum.h"

#include "dsp/core/vector_clones.h"

namespace skedlark::copy {

SKEDLARK_VECTOR_CLONES
float sum_over_lengths(const float* past, const float* odds, const float* factor, int count) {
    float sum = 0.0F;
    for (int i = 0; i < count; ++i) {
        sum += past[-i] * odds[i] * factor[i];
    }
    return sum;
}

}  // namespace skedlark::copy
