#include "cli/reading.h"

#include <fmt/format.h>

#include <utility>

namespace scrapetrace::cli {

namespace {

std::string outside(const char* name, double value, double least, double most) {
  if (value >= least && value <= most) return {};
  return fmt::format("--{} must lie between {} and {}.", name, least, most);
}

}  // namespace

void offer_limits(Options& options, ReadingRequest& request) {
  scan::ReadLimits& limits = request.limits;
  options.value("most-megapixels", limits.megapixels, "N",
                "of a page, by its header; larger ones are refused");
  options.value("most-megabytes", limits.megabytes, "N", "of a scan's file");
  options.value("most-pages", limits.pages, "N", "of a scan's file");
  options.value("most-seconds", limits.seconds, "N", "to read a page");
  options.value("most-memory", limits.memory_megabytes, "MB", "that reading a page may take");
  options.value("most-case-megapixels", request.of_case.megapixels, "N",
                "of all pages that are judged together; those beyond are refused");
  options.value("most-case-memory", request.of_case.memory_megabytes, "MB",
                "that these pages and judging them may take");
  options.value("most-case-seconds", request.of_case.seconds, "N", "to read and to judge them");
  options.flag("no-sandbox", request.no_sandbox,
               "read scans in this process, without protection: only scans that you trust");
}

std::string wrong_with(const ReadingRequest& request) {
  const scan::ReadLimits& limits = request.limits;
  for (auto what :
       {outside("most-megapixels", limits.megapixels, 0.01, 40000),
        outside("most-megabytes", limits.megabytes, 0.001, 1e6),
        outside("most-pages", limits.pages, 1, 10000), outside("most-seconds", limits.seconds, 0.1, 86400),
        outside("most-memory", limits.memory_megabytes, 16, 1e6),
        outside("most-case-megapixels", request.of_case.megapixels, 0.01, 1e6),
        outside("most-case-memory", request.of_case.memory_megabytes, 1, 1e6),
        outside("most-case-seconds", request.of_case.seconds, 0.001, 86400)}) {
    if (!what.empty()) return what;
  }
  return {};
}

Result<Reader> start_reader(const ReadingRequest& request) {
  auto reader = request.no_sandbox ? sandbox::PageReader::in_this_process(request.limits)
                                   : sandbox::PageReader::start(request.limits);
  if (!reader) return reader.problems();
  return Reader(std::make_shared<const sandbox::PageReader>(std::move(reader).value()));
}

}  // namespace scrapetrace::cli
