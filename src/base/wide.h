#pragma once
// SCRAPETRACE_WIDE compiles a function twice, for any processor and for x86-64-v3 (AVX2); the loader picks
// one. Both give the same bits: multiply-adds are not fused and sums not reordered.

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(__SANITIZE_THREAD__)
#define SCRAPETRACE_WIDE __attribute__((target_clones("default", "arch=x86-64-v3")))
#else
#define SCRAPETRACE_WIDE
#endif
