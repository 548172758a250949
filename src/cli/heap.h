#pragma once
// How the program's memory is handed out.

namespace scrapetrace::cli {

// Call it first of all. A page's fit takes and gives back tens of megabytes many times over: they come from
// one heap that keeps what it has, in large pages where the system has any; to be given small ones again and
// again takes longer than to fill them.
void prepare_heap();

// Call it when another process has been forked off: of the pages that the two share, every small one is
// copied when it is next written to. What is taken from now on lies beyond them.
void leave_shared_pages();

}  // namespace scrapetrace::cli
