#pragma once
// libvips loaders that live in separate modules.

namespace scrapetrace::scan {

// Loads the module that holds the libvips class `loader`. None is loaded before, since that takes longer than
// reading most pages. Does nothing when there is no such module. Thread-safe and idempotent.
void load_vips_module(const char* module, const char* loader);

}  // namespace scrapetrace::scan
