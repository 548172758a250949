#pragma once
// How the program's memory is handed out.

namespace scrapetrace::cli {

// Call it first of all. A page's fit takes and gives back tens of megabytes many times over: they come from
// one heap that keeps what it has, in large pages where the system has any; to be given small ones again and
// again takes longer than to fill them.
void prepare_heap();

}  // namespace scrapetrace::cli
