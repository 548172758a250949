#include "scan/vips_session.h"

#include <dlfcn.h>
#include <gmodule.h>
#include <vips/vips.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <mutex>
#include <set>
#include <stdexcept>
#include <utility>

#include "scan/offer_loader.h"

namespace scrapetrace::scan {

namespace {

struct Warnings {
  std::mutex mutex;
  std::vector<std::string> texts;
};

Warnings& warnings() {
  static Warnings instance;
  return instance;
}

void keep_warning(const gchar*, GLogLevelFlags, const gchar* message, gpointer) {
  Warnings& kept = warnings();
  const std::scoped_lock lock(kept.mutex);
  if (std::find(kept.texts.begin(), kept.texts.end(), message) == kept.texts.end()) {
    kept.texts.emplace_back(message);
  }
}

// libvips reads dozens of formats; whatever a file pretends to be, only these loaders may run. SVG is for
// drawings of the tool's own, PDF for pages that have to be drawn.
void allow_only_known_loaders() {
  vips_block_untrusted_set(TRUE);
  vips_operation_block_set("VipsForeignLoad", TRUE);
  for (const char* loader :
       {"VipsForeignLoadTiff", "VipsForeignLoadPng", "VipsForeignLoadJpeg", "VipsForeignLoadWebp",
        "VipsForeignLoadHeif", "VipsForeignLoadPdf", "VipsForeignLoadSvg"})
    vips_operation_block_set(loader, FALSE);
}

// libvips loads every module that it finds below its home.
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

// Beside the library itself.
std::string path_of_module(const std::string& module) {
  Dl_info library{};
  if (dladdr(reinterpret_cast<const void*>(&vips_init), &library) == 0) return {};
  const std::filesystem::path path(library.dli_fname);
  const std::string folder =
      "vips-modules-" + std::to_string(VIPS_MAJOR_VERSION) + "." + std::to_string(VIPS_MINOR_VERSION);
  return path.parent_path() / folder / ("vips-" + module + "." + G_MODULE_SUFFIX);
}

bool start() {
  const NoModules only_the_library;
  if (VIPS_INIT("scrapetrace") != 0) throw std::runtime_error("libvips cannot start: " + take_vips_error());
  allow_only_known_loaders();
  vips_cache_set_max(0);
  g_log_set_handler("VIPS", G_LOG_LEVEL_WARNING, keep_warning, nullptr);
  return true;
}

}  // namespace

void start_vips() {
  [[maybe_unused]] static const bool started = start();
}

void offer_loader(const char* module, const char* loader) {
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

std::vector<std::string> take_vips_warnings() {
  Warnings& kept = warnings();
  const std::scoped_lock lock(kept.mutex);
  return std::exchange(kept.texts, {});
}

}  // namespace scrapetrace::scan
