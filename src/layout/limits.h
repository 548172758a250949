#pragma once
// Limits of the file formats: wide enough for any press, narrow enough to reject hostile files at once.

#include "layout/table_reader.h"

namespace scrapetrace::layout {

inline constexpr int kMostInks = 8;
inline constexpr int kMostCarriages = 16;
inline constexpr int kMostHeads = 64;
inline constexpr int kMostZones = 32;
inline constexpr int kMostPasses = 64;  // also limits the jet pitch: each remainder takes a pass
inline constexpr int kMostPatches = 1000;
inline constexpr int kMostMarks = 100;
inline constexpr int kMostCauses = 200;  // of one kind

inline constexpr Range kDrumWidthMm{10, 3000};
inline constexpr Range kCircumferenceMm{10, 10000};
inline constexpr Range kDpi{50, 4800};
inline constexpr WholeRange kAnyWhole{-2147483647, 2147483647};
inline constexpr WholeRange kJetPitchPx{1, kMostPasses};
inline constexpr WholeRange kShiftPx{-100000, 100000};
inline constexpr Range kScale{0.5, 2};
inline constexpr Range kPositionMm{-10000, 10000};
inline constexpr Range kDensity{0, 5};
inline constexpr Range kAngleDeg{-360, 360};
inline constexpr Range kOffsetMm{-10, 10};
inline constexpr Range kPlaceToleranceMm{0, 1};
inline constexpr Range kScaleTolerance{0, 0.05};
inline constexpr WholeRange kFirstJetPx{-1000000, 1000000};
inline constexpr WholeRange kJets{1, 20000};
inline constexpr Range kOutwardMm{-500, 500};
inline constexpr Range kPrior{0, 1000000};
inline constexpr Range kEffortMin{0, 10000, true};
inline constexpr Range kReachMin{0, 10000, false};
inline constexpr Range kSheetMm{10, 2000};
inline constexpr Range kFraction{0, 1, true};
inline constexpr Range kMarkSizeMm{0.5, 200};
inline constexpr WholeRange kMarkId{0, 1000000};

}  // namespace scrapetrace::layout
