#include "cli/html.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <utility>

#include "cli/contents.h"
#include "cli/standard_input.h"
#include "cli/versions.h"
#include "scan/page_name.h"

namespace scrapetrace::cli {

namespace {

report::InputFile input_file(const std::string& role, const std::string& path) {
  const auto digest = contents_hash(path);
  return {role, shown_name(path), digest ? *digest : ""};
}

bool is_standard_input(const NamedFile& file) {
  return shown_name(file.path) != file.path;
}

}  // namespace

report::Origin origin_of(const std::vector<NamedFile>& files) {
  report::Origin out{SCRAPETRACE_VERSION, {}};
  for (const auto& file : files) out.files.push_back(input_file(file.role, file.path));
  return out;
}

report::Origin origin_of(const EvidenceRequest& request, const std::vector<NamedFile>& files) {
  std::vector<NamedFile> all{{"layout", request.layout}};
  if (!request.chart.empty()) all.push_back({"chart", request.chart});
  all.insert(all.end(), files.begin(), files.end());
  return origin_of(all);
}

Hashes::Hashes(const EvidenceRequest& request, std::vector<NamedFile> files) : files_(std::move(files)) {
  // Standard input has no file until it is read.
  const bool standard_input = std::any_of(files_.begin(), files_.end(), is_standard_input);
  const auto when = standard_input ? std::launch::deferred : std::launch::async;
  begun_ = std::async(when, [&request, files = files_] {
    const Stage stage(request.options.stages, "hash files");
    return origin_of(request, files);
  });
}

Problems Hashes::copies_so_far() {
  std::vector<std::uintmax_t> sizes;
  for (const NamedFile& file : files_) {
    if (is_standard_input(file)) return {};
    std::error_code error;
    const auto size = std::filesystem::file_size(scan::page_named(file.path).file, error);
    if (!error) sizes.push_back(size);
  }
  std::sort(sizes.begin(), sizes.end());
  const bool none = std::adjacent_find(sizes.begin(), sizes.end()) == sizes.end();
  return none ? Problems{} : same_scans(origin());
}

const report::Origin& Hashes::origin() {
  if (!origin_) origin_ = begun_.get();
  return *origin_;
}

report::Provenance provenance_of(const EvidenceRequest& request, const report::Origin& origin) {
  return {versions(), origin.files, request.settings, request.command_line};
}

std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files) {
  std::vector<NamedFile> out;
  for (std::size_t i = 0; i < files.size(); ++i) out.push_back({fmt::format("{} {}", role, i + 1), files[i]});
  return out;
}

std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files,
                                const std::string& other_role, const std::vector<std::string>& others) {
  auto out = numbered(role, files);
  for (auto& file : numbered(other_role, others)) out.push_back(std::move(file));
  return out;
}

}  // namespace scrapetrace::cli
