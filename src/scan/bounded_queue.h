#pragma once
// A producer thread decodes strips of rows, a consumer thread adds them up, with a bounded queue between
// them.

#include <cstddef>
#include <functional>

#include "scan/rows.h"

namespace scrapetrace::scan {

// Capacity of the queue, in strips.
inline constexpr std::size_t kQueueSlots = 8;

// Calls produce(slot, strip) for the strips 0 .. strips - 1 on this thread, and `consume` with the returned
// rows, in order, on one other thread. `produce` owns one buffer per slot, slot < kQueueSlots; a buffer is
// free again once its rows are consumed. Returning no rows means that decoding failed: the result is then
// false and no further strip is produced. Rethrows what `consume` throws.
bool produce_and_consume(int strips, const std::function<Rows(std::size_t slot, int strip)>& produce,
                         const RowSink& consume);

}  // namespace scrapetrace::scan
