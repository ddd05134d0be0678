// While it lives, floating-point sums too small to matter become 0 instead of slowing the processor
// down.
//
// Stage:   copy.
// Threads: changes and restores the calling thread's setting only.
// Errors:  none; does nothing where the processor has no such setting.
// Source:  common practice, no source.
#pragma once

#if defined(__SSE__)
#include <xmmintrin.h>
#endif

namespace skedlark::copy {

class FlushDenormals {
 public:
#if defined(__SSE__)
    FlushDenormals() : before_(_mm_getcsr()) { _mm_setcsr(before_ | 0x8040U); }
    ~FlushDenormals() { _mm_setcsr(before_); }
#else
    FlushDenormals() = default;
    ~FlushDenormals() = default;
#endif
    FlushDenormals(const FlushDenormals&) = delete;
    FlushDenormals& operator=(const FlushDenormals&) = delete;

 private:
    unsigned int before_ = 0;
};

}  // namespace skedlark::copy
