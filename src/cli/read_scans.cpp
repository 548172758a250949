#include "cli/read_scans.h"

#include <new>
#include <utility>

#include "cli/standard_input.h"
#include "scrapetrace/sheet.h"

namespace scrapetrace::cli {

namespace {

// Problems of standard input name it, not its temporary file.
Problems renamed(Problems problems, const std::string& file) {
  if (file != "-") return problems;
  for (auto& problem : problems) problem.file = kStandardInput;
  return problems;
}

// A page that processes of its own read.
class SandboxedPage : public PageSource {
 public:
  SandboxedPage(const sandbox::PageReader& reader, const std::string& page) : reader_(reader), page_(page) {}
  [[nodiscard]] Result<PageRaster> read(const scan::ReadOptions& options) const override {
    return reader_.read_page(page_, options);
  }
  [[nodiscard]] Result<PageRaster> flatten(const PhotoMap& map,
                                           const scan::FlattenOptions& options) const override {
    return reader_.flatten_page(page_, map, options);
  }

 private:
  const sandbox::PageReader& reader_;
  const std::string& page_;
};

Result<std::string> path_within(const CaseBudget& budget, const std::string& file) {
  if (auto why = budget.over(); !why.empty()) return Problem{shown_name(file), 0, 0, std::move(why)};
  return path_for_reading(file);
}

Result<PageRaster> read_within(CaseBudget& budget, const EvidenceRequest& request, const Machine& machine,
                               const std::string& page) {
  if (auto why = budget.over(); !why.empty()) return Problem{page, 0, 0, std::move(why)};
  const Stage stage(request.options.stages, "read pages");
  SheetOptions options;
  options.dpi = request.options.dpi;
  options.lead_edge = request.options.lead_edge;
  options.corners = request.photo_corners;
  options.threads = request.options.threads;
  options.limits.left = budget.left();
  auto sheet =
      sheet_from(SandboxedPage(*machine.reader, page), page, machine.layout, machine.chart_given(), options);
  if (sheet) budget.take(static_cast<double>(sheet->width_px) * sheet->height_px);
  return sheet;
}

// Marks all scans as not judged; existing reasons are kept.
void refuse_all(std::vector<ScanInput>& scans, const std::string& why) {
  for (ScanInput& scan : scans) {
    if (scan.page.ok()) scan.page = Problem{scan.file, 0, 0, why};
  }
}

// A case being judged, with what to report if judging fails.
class Judging {
 public:
  Judging(const EvidenceRequest& request, const Machine& machine, const LocateOptions& options,
          CaseBudget& budget, LocateJob::Keep keep)
      : request_(request),
        machine_(machine),
        budget_(budget),
        light_before_(budget.light_bytes()),
        job_(machine.layout, machine.chart_given(), options, keep) {}

  void add(ScanInput&& scan) {
    step(scans_, std::move(scan), [this](ScanInput&& one) { job_.add(std::move(one)); });
  }
  void add_before(ScanInput&& scan) {
    step(before_, std::move(scan), [this](ScanInput&& one) { job_.add_before(one); });
  }
  LocatedScans finish() {
    LocatedScans out;
    within_limits([&] { out.result = job_.finish(); });
    if (failed_.empty()) {
      out.scans = job_.take_scans();
      return out;
    }
    refuse_all(scans_, failed_);
    refuse_all(before_, failed_);
    LocateOptions options = request_.options;
    options.before = before_.empty() ? nullptr : &before_;
    out.result = locate(machine_.layout, machine_.chart_given(), scans_, options);
    out.scans = std::move(scans_);
    return out;
  }

 private:
  template <class Work>
  void within_limits(const Work& work) {
    if (!failed_.empty()) return;
    try {
      work();
    } catch (const OutOfTime&) {
      failed_ = judging_out_of_time(request_.reading.of_case);
    } catch (const std::bad_alloc&) {
      failed_ = judging_out_of_memory(request_.reading.of_case);
    }
    if (!failed_.empty()) budget_.close(failed_);
  }

  template <class Add>
  void step(std::vector<ScanInput>& names, ScanInput&& scan, const Add& add) {
    Result<PageRaster> name = PageRaster{};
    if (!scan.page) name = scan.page.problems();
    names.push_back({scan.file, std::move(name)});
    within_limits([&] { add(std::move(scan)); });
    budget_.keep(light_before_ + job_.light_bytes());
  }

  const EvidenceRequest& request_;
  const Machine& machine_;
  CaseBudget& budget_;
  std::size_t light_before_;  // of scans of the case judged elsewhere
  LocateJob job_;
  std::vector<ScanInput> scans_;  // without pages
  std::vector<ScanInput> before_;
  std::string failed_;
};

}  // namespace

void read_scans(const EvidenceRequest& request, const Machine& machine, const std::vector<std::string>& files,
                CaseBudget& budget, const TakeScan& take) {
  for (const auto& file : files) {
    const Result<std::string> path = path_within(budget, file);
    const auto pages = timed(request.options.stages, "read pages", [&] {
      return path ? machine.reader->pages_of(*path) : Result<std::vector<std::string>>(path.problems());
    });
    if (!pages) {
      take({shown_name(file), renamed(pages.problems(), file)});
      continue;
    }
    for (const auto& page : *pages) {
      auto sheet = read_within(budget, request, machine, page);
      const std::string name = file == "-" ? kStandardInput + page.substr(path->size()) : page;
      if (!sheet) sheet = renamed(sheet.problems(), file);
      take({name, std::move(sheet)});
    }
  }
}

LocateResult locate_case(const EvidenceRequest& request, const Machine& machine, const ReadCase& read) {
  CaseBudget budget(request.reading.of_case);
  LocateOptions options = request.options;
  options.thumbnails = !request.picture.empty() || !request.html.empty();
  options.evidence = !request.html.empty();
  options.until = budget.until();
  Judging judging(request, machine, options, budget, LocateJob::Keep::what_is_shown);
  read(budget, [&](ScanInput scan) { judging.add(std::move(scan)); });
  read_scans(request, machine, request.before, budget,
             [&](ScanInput scan) { judging.add_before(std::move(scan)); });
  return judging.finish().result;
}

LocateResult locate_files(const EvidenceRequest& request, const Machine& machine,
                          const std::vector<std::string>& files) {
  return locate_case(request, machine, [&](CaseBudget& budget, const TakeScan& take) {
    read_scans(request, machine, files, budget, take);
  });
}

LocatedScans locate_to_go_on(const EvidenceRequest& request, const Machine& machine,
                             const LocateOptions& options, const std::vector<std::string>& files,
                             CaseBudget& budget) {
  Judging judging(request, machine, options, budget, LocateJob::Keep::all_light);
  read_scans(request, machine, files, budget, [&](ScanInput scan) { judging.add(std::move(scan)); });
  return judging.finish();
}

}  // namespace scrapetrace::cli
