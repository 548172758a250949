#include "scan/libvips.h"

#include <dlfcn.h>

#include <stdexcept>
#include <vector>

namespace scrapetrace::scan {

// NOLINTNEXTLINE(bugprone-macro-parentheses): a name to be declared
#define SCRAPETRACE_DEFINE(name) decltype(&::name) name = nullptr;
SCRAPETRACE_LIBVIPS(SCRAPETRACE_DEFINE)
#undef SCRAPETRACE_DEFINE

namespace {

std::string abi_number() {
  return std::to_string(VIPS_LIBRARY_CURRENT - VIPS_LIBRARY_AGE);
}

[[noreturn]] void cannot_load() {
  const char* reason = dlerror();
  throw std::runtime_error("libvips cannot be loaded (" +
                           std::string(reason == nullptr ? "no reason given" : reason) +
                           "); install the package libvips" + abi_number());
}

void* looked_up(void* library, const char* name) {
  void* function = dlsym(library, name);
  if (function == nullptr) cannot_load();
  return function;
}

}  // namespace

std::string libvips_name() {
  return "libvips.so." + abi_number();
}

void load_libvips(const std::string& library) {
  // Never unloaded: it cannot be shut down.
  void* const loaded = dlopen(library.c_str(), RTLD_LAZY | RTLD_LOCAL | RTLD_NODELETE);
  if (loaded == nullptr) cannot_load();
  std::vector<void*> functions;
#define SCRAPETRACE_LOOK_UP(name) functions.push_back(looked_up(loaded, #name));
  SCRAPETRACE_LIBVIPS(SCRAPETRACE_LOOK_UP)
#undef SCRAPETRACE_LOOK_UP
  auto next = functions.cbegin();
#define SCRAPETRACE_SET(name) name = reinterpret_cast<decltype(&::name)>(*next++);
  SCRAPETRACE_LIBVIPS(SCRAPETRACE_SET)
#undef SCRAPETRACE_SET
}

}  // namespace scrapetrace::scan
