#include "cli/case_scans.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "hash/sha256.h"
#include "scan/file_signature.h"
#include "scan/page_name.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;

// "scan.tif[2]" split into file and page.
struct Split {
  std::string file;
  std::string page;
};
Split split(const std::string& base, const std::string& name) {
  const std::string path = (fs::path(base) / name).string();
  const auto page = path.size() - scan::page_named(path).file.size();
  return {name.substr(0, name.size() - page), name.substr(name.size() - page)};
}

// Messages use the user's file names.
Problems renamed(Problems problems, const std::string& opened, const std::string& name) {
  for (auto& problem : problems) {
    for (std::string* text : {&problem.file, &problem.what}) {
      const auto at = text->find(opened);
      if (at != std::string::npos) text->replace(at, opened.size(), name);
    }
  }
  return problems;
}

}  // namespace

CaseScans::CaseScans(std::string base, bool closed, const std::vector<triage::Input>& inputs)
    : base_(std::move(base)), closed_(closed) {
  for (const auto& input : inputs) take(input);
  copies_ = copies_among(files_);
  // An unreadable file beside scans may be a scan; a text file is not.
  if (files_.empty()) complete_ = only_litter_ && !left_out_.empty();
}

void CaseScans::take(const triage::Input& input) {
  if (!input.why.empty()) return leave_out(input, input.why, false);
  const auto file = open(split(base_, input.file).file);
  if (file && input.standing == triage::Standing::found) {
    const std::string start = file->first_bytes(scan::kSignature_bytes);
    const bool litter = scan::is_desktop_metadata(input.file, start);
    if (litter || (!scan::is_scan(start) && !triage::named_like_a_scan(input.file)))
      return leave_out(input, scan::other_file_kind(start), litter);
  }
  const auto digest = file ? hash::sha256_of_file(file->path()) : Result<std::string>(file.problems());
  files_.push_back({input.file, digest ? *digest : ""});
  stamps_.push_back(file ? file->stamp() : "");
}

void CaseScans::leave_out(const triage::Input& input, const std::string& why, bool litter) {
  left_out_.push_back({input.file, why});
  only_litter_ = only_litter_ && litter;
  if (input.standing == triage::Standing::no_file) complete_ = false;
}

Result<triage::OpenFile> CaseScans::open(const std::string& file) const {
  return closed_ ? triage::open_inside(base_, file) : triage::open_file((fs::path(base_) / file).string());
}

std::string CaseScans::contents() const {
  std::string out;
  for (const auto& file : files_) out += fmt::format("{} {} {}\n", file.sha256, file.name.size(), file.name);
  for (const auto& left : left_out_)
    out += fmt::format("no scan {} {}{} {}\n", left.file.size(), left.file, left.reason.size(), left.reason);
  return out;
}

void CaseScans::read_one(const EvidenceRequest& request, const Machine& machine, CaseBudget& budget,
                         std::size_t place, const Take& take) const {
  const std::string& name = files_[place].name;
  const auto parts = split(base_, name);
  const std::string& file = parts.file;
  const std::string& page = parts.page;
  const auto opened = open(file);
  if (!opened) return take({name, opened.problems()}, place);
  if (opened->stamp() != stamps_[place]) {
    return take(
        {name, Problem{name, 0, 0, "changed while it was worked on; run this again when it is whole"}},
        place);
  }
  const std::string path = opened->path() + page;
  read_scans(request, machine, {path}, budget, [&](ScanInput scan) {
    scan.file = name + scan.file.substr(std::min(path.size(), scan.file.size()));
    if (!scan.page) scan.page = renamed(scan.page.problems(), opened->path(), file);
    take(std::move(scan), place);
  });
}

void CaseScans::read(const EvidenceRequest& request, const Machine& machine, CaseBudget& budget,
                     const Take& take) const {
  for (std::size_t i = 0; i < files_.size(); ++i) {
    if (std::any_of(copies_.begin(), copies_.end(), [&](const Copy& copy) { return copy.scan == i; }))
      continue;
    read_one(request, machine, budget, i, take);
  }
}

}  // namespace scrapetrace::cli
