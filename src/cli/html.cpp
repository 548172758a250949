#include "cli/html.h"

#include <fmt/format.h>

#include "cli/picture.h"
#include "cli/standard_input.h"
#include "cli/versions.h"
#include "hash/sha256.h"

namespace scrapetrace::cli {

namespace {

report::InputFile input_file(const std::string& role, const std::string& path) {
  const auto digest = hash::sha256_of_file(path_read(path));
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

report::Provenance provenance_of(const EvidenceRequest& request, const std::vector<NamedFile>& files) {
  report::Provenance out;
  out.versions = versions();
  out.settings = request.settings;
  out.command = request.command_line;
  out.files.push_back(input_file("layout", request.layout));
  if (!request.chart.empty()) out.files.push_back(input_file("chart", request.chart));
  for (const auto& file : files) out.files.push_back(input_file(file.role, file.path));
  return out;
}

std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files) {
  std::vector<NamedFile> out;
  for (std::size_t i = 0; i < files.size(); ++i) out.push_back({fmt::format("{} {}", role, i + 1), files[i]});
  return out;
}

report::HtmlReport html_report(const EvidenceRequest& request, const Machine& machine,
                               const std::vector<NamedFile>& files, const LocateResult& result) {
  report::HtmlReport page;
  page.pages = encode(result.thumbnails);
  page.streaks = shown_streaks(result);
  page.picture.width_px = kDrawingWidth_px;
  page.picture.unit = request.unit;
  if (machine.chart) page.picture.sheet_mm = machine.chart->sheet_mm;
  page.provenance = provenance_of(request, files);
  return page;
}

std::string html_of(const EvidenceRequest& request, const Machine& machine,
                    const std::vector<std::string>& files, const LocateResult& result) {
  auto all = numbered("scan", files);
  for (auto& file : numbered("scan from before", request.before)) all.push_back(std::move(file));
  return report::locate_html(machine.layout, result.findings, html_report(request, machine, all, result));
}

}  // namespace scrapetrace::cli
