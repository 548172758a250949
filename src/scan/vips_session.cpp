#include "scan/vips_session.h"

#include <dlfcn.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <mutex>
#include <set>
#include <stdexcept>

#include "scan/libvips.h"
#include "scan/load_vips_module.h"

namespace scrapetrace::scan {

namespace {

std::atomic<bool> may_load = true;
std::atomic<bool> is_loaded = false;

// libvips' warnings would appear between the program's own lines on standard error.
void drop_warning(const gchar*, GLogLevelFlags, const gchar*, gpointer) {}

// libvips reads dozens of formats; only these loaders may run. SVG is for the tool's own drawings, PDF for
// pages that must be rendered.
void allow_only_known_loaders() {
  vips_block_untrusted_set(TRUE);
  vips_operation_block_set("VipsForeignLoad", TRUE);
  for (const char* loader :
       {"VipsForeignLoadTiff", "VipsForeignLoadPng", "VipsForeignLoadJpeg", "VipsForeignLoadWebp",
        "VipsForeignLoadHeif", "VipsForeignLoadPdf", "VipsForeignLoadSvg"})
    vips_operation_block_set(loader, FALSE);
}

// libvips loads every module below its home directory.
class NoModules {
 public:
  NoModules() : unset_(std::getenv(kHome) == nullptr) {
    if (unset_) setenv(kHome, "/nowhere", 1);
  }
  NoModules(const NoModules&) = delete;
  NoModules& operator=(const NoModules&) = delete;
  ~NoModules() {
    if (unset_) unsetenv(kHome);
  }

 private:
  static constexpr const char* kHome = "VIPSHOME";
  bool unset_;
};

// Modules lie beside the library itself.
std::string path_of_module(const std::string& module) {
  Dl_info library{};
  if (dladdr(reinterpret_cast<const void*>(vips_init), &library) == 0) return {};
  const std::filesystem::path path(library.dli_fname);
  const std::string folder =
      "vips-modules-" + std::to_string(VIPS_MAJOR_VERSION) + "." + std::to_string(VIPS_MINOR_VERSION);
  return path.parent_path() / folder / ("vips-" + module + "." + G_MODULE_SUFFIX);
}

// Starts libvips; returns the problem, or an empty string.
std::string start() {
  const NoModules only_the_library;
  try {
    load_libvips(libvips_name());
  } catch (const std::runtime_error& error) {
    return error.what();
  }
  is_loaded = true;
  if (vips_init("scrapetrace") != 0) return "libvips cannot start: " + take_vips_error();
  allow_only_known_loaders();
  vips_cache_set_max(0);
  g_log_set_handler("VIPS", G_LOG_LEVEL_WARNING, drop_warning, nullptr);
  return {};
}

}  // namespace

void start_vips() {
  if (!may_load && !is_loaded) throw LibvipsWanted();
  static const std::string wrong = start();
  if (!wrong.empty()) throw NoLibvips(wrong);
}

void do_without_vips() {
  may_load = false;
}

void load_vips_module(const char* module, const char* loader) {
  static std::mutex mutex;
  static std::set<std::string> offered;
  start_vips();
  const std::scoped_lock lock(mutex);
  if (!offered.insert(module).second || g_type_from_name(loader) != 0) return;
  GModule* loaded = g_module_open(path_of_module(module).c_str(), G_MODULE_BIND_LAZY);
  if (loaded == nullptr) return;
  g_module_make_resident(loaded);
  vips_operation_block_set(loader, FALSE);
}

std::string take_vips_error() {
  if (!is_loaded) return {};
  char* raw = vips_error_buffer_copy();
  std::string text = raw == nullptr ? "" : raw;
  g_free(raw);
  while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
  for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at))
    text.replace(at, 1, "; ");
  return text;
}

std::string take_first_vips_error() {
  std::string text = take_vips_error();
  text.resize(std::min(text.size(), text.find("; ")));
  return text.empty() ? "no reason given" : text;
}

}  // namespace scrapetrace::scan
