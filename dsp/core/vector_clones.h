// Marks a loop over plain arrays to be compiled for wide vectors too; which is taken is chosen when
// the program starts.
//
// Stage:   core.
// Errors:  none. Left out where sanitizers or the compiler do not get on with it.
// Threads: none.
#pragma once

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_THREAD__) && !defined(__SANITIZE_ADDRESS__)
#define SKEDLARK_VECTOR_CLONES __attribute__((target_clones("avx2,fma", "default")))
#else
#define SKEDLARK_VECTOR_CLONES
#endif
