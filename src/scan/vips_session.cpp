#include "scan/vips_session.h"

#include <vips/vips.h>

#include <algorithm>
#include <mutex>
#include <stdexcept>
#include <utility>

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

bool start() {
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
