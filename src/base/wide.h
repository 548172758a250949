#pragma once
// SCRAPETRACE_WIDE before a function: it is compiled twice, for any processor and for x86-64-v3 (AVX2), and
// the loader takes the one that the processor runs. Products are never fused with sums and sums are never
// reordered, so both give the same bits.

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(__SANITIZE_THREAD__)
#define SCRAPETRACE_WIDE __attribute__((target_clones("default", "arch=x86-64-v3")))
#else
#define SCRAPETRACE_WIDE
#endif
