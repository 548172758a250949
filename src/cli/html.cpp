#include "cli/html.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "cli/contents.h"
#include "cli/picture.h"
#include "cli/standard_input.h"
#include "cli/versions.h"

namespace scrapetrace::cli {

namespace {

report::InputFile input_file(const std::string& role, const std::string& path) {
  const auto digest = contents_hash(path);
  return {role, shown_name(path), digest ? *digest : ""};
}

std::vector<report::ShownStreak> shown_streaks(const LocateResult& result) {
  std::vector<report::ShownStreak> out;
  for (const StreakEvidence& evidence : result.evidence) {
    report::ShownStreak shown{evidence.profiles, std::nullopt, 0};
    if (evidence.crop) {
      shown.crop = encode({evidence.crop->picture}).front();
      shown.crop_scan = evidence.crop->scan;
    }
    out.push_back(std::move(shown));
  }
  return out;
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

std::future<report::Origin> begin_origin(const EvidenceRequest& request, std::vector<NamedFile> files) {
  const bool standard_input = std::any_of(
      files.begin(), files.end(), [](const NamedFile& file) { return shown_name(file.path) != file.path; });
  // Standard input is not in a file before it has been read.
  const auto when = standard_input ? std::launch::deferred : std::launch::async;
  return std::async(when, [&request, files = std::move(files)] {
    const Stage stage(request.options.stages, "hash files");
    return origin_of(request, files);
  });
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

report::HtmlReport html_report(const EvidenceRequest& request, const Machine& machine,
                               const report::Origin& origin, const LocateResult& result) {
  report::HtmlReport page;
  page.pages = encode(result.thumbnails);
  page.streaks = shown_streaks(result);
  page.picture.width_px = kDrawingWidth_px;
  page.picture.unit = request.unit;
  if (machine.chart) page.picture.sheet_mm = machine.chart->sheet_mm;
  page.provenance = provenance_of(request, origin);
  return page;
}

std::string html_of(const EvidenceRequest& request, const Machine& machine, const report::Origin& origin,
                    const LocateResult& result) {
  return report::locate_html(machine.layout, result.findings, html_report(request, machine, origin, result));
}

}  // namespace scrapetrace::cli
