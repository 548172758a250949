// Judges locate() on pages drawn at random, in memory. Not part of the unit tests: a run of 200 pages takes
// some minutes and says how good the answers are, not whether a line of code is right.

#include <fmt/format.h>

#include <exception>
#include <functional>
#include <map>
#include <sstream>
#include <stdexcept>

#include "locate/judge_score.h"
#include "locate/random_page.h"
#include "scrapetrace/locate.h"
#include "support/raster_of.h"

namespace {

using namespace scrapetrace;
using namespace scrapetrace::testing;

struct Options {
  RandomPageOptions page;
  int pages = 45;
  int first = 0;  // index of the first page
  double least_top1 = 0;
  double least_top2 = 0;
  int most_false = 1 << 30;
  bool all = false;  // describe every page, not only the wrong ones
};

constexpr const char* kUsage =
    "judge_pages [--pages N] [--seed N] [--first INDEX] [--clean] [--dpi-set 300,400] [--all]\n"
    "            [--least-top1 SHARE] [--least-top2 SHARE] [--most-false COUNT]\n"
    "Exits 1 when the answers are worse than asked for.\n";

std::vector<double> numbers_of(const std::string& list) {
  std::vector<double> numbers;
  std::stringstream stream(list);
  for (std::string item; std::getline(stream, item, ',');) numbers.push_back(std::stod(item));
  return numbers;
}

Options read_options(int argc, char** argv) {
  Options o;
  const std::map<std::string, std::function<void(const std::string&)>> with_value = {
      {"--pages", [&](const std::string& v) { o.pages = std::stoi(v); }},
      {"--seed", [&](const std::string& v) { o.page.seed = std::stoull(v); }},
      {"--first", [&](const std::string& v) { o.first = std::stoi(v); }},
      {"--dpi-set", [&](const std::string& v) { o.page.dpi = numbers_of(v); }},
      {"--least-top1", [&](const std::string& v) { o.least_top1 = std::stod(v); }},
      {"--least-top2", [&](const std::string& v) { o.least_top2 = std::stod(v); }},
      {"--most-false", [&](const std::string& v) { o.most_false = std::stoi(v); }}};
  for (int i = 1; i < argc; ++i) {
    const std::string name = argv[i];
    if (name == "--clean") {
      o.page.clean = true;
    } else if (name == "--all") {
      o.all = true;
    } else if (with_value.contains(name) && i + 1 < argc) {
      with_value.at(name)(argv[++i]);
    } else {
      throw std::invalid_argument(fmt::format("unknown option or missing value: {}\n{}", name, kUsage));
    }
  }
  if (o.pages < 1 || o.page.dpi.empty()) throw std::invalid_argument(kUsage);
  return o;
}

Findings answer_to(const RandomPage& page) {
  const Machine& machine = *page.machine;
  const auto image = simulate_scan(machine.layout, machine.chart, page.causes, page.print, page.scan);
  if (!image) throw std::runtime_error(to_string(image.problems().front()));
  return locate(machine.layout, &machine.chart, {{"page", raster_of(*image)}}, {}).findings;
}

void print_answer(int index, const RandomPage& page, const Findings& findings,
                  const std::vector<Place>& places) {
  fmt::print("page {}: {}\n", index, describe(page));
  for (const ScanReport& scan : findings.scans) {
    for (const auto& reason : scan.reasons) fmt::print("  remark: {}\n", reason);
  }
  for (std::size_t k = 0; k < places.size() && k < 4; ++k) {
    fmt::print("  {:.3f} head {} {}\n", places[k].probability, places[k].head, to_string(places[k].side));
  }
  for (const Streak& s : findings.streaks) {
    fmt::print("  streak at {:.2f} mm, {:.2f} mm wide, z {:.1f}:", s.x_drum_mm, s.width_mm, s.z);
    for (std::size_t c = 0; c < kCauseCount; ++c) {
      if (s.causes[c] > 0.01) fmt::print(" {} {:.2f}", to_string(static_cast<Cause>(c)), s.causes[c]);
    }
    if (s.residue) {
      fmt::print("; residue at {:.3f} mm, {:.2f} mm wide, loss {:.2f}, downstream {:.2f}",
                 s.residue->x_drum_mm - s.residue->width_mm / 2, s.residue->width_mm, s.residue->loss,
                 s.residue->probability_downstream);
      for (const auto& [carriage, p] : s.residue->by_carriage) fmt::print(", {} {:.2f}", carriage, p);
    }
    fmt::print("\n");
  }
}

void print_row(const std::string& name, const Tally& t) {
  fmt::print("{:<10}{:>7}{:>9.3f}{:>9.3f}{:>9}{:>11.3f}{:>9.3f}\n", name, t.pages, t.share(t.first),
             t.share(t.among_two), t.false_places, t.share(t.log_loss), t.share(t.brier));
}

void print_table(const std::map<std::string, Tally>& by_machine, const Tally& all) {
  fmt::print("\n{:<10}{:>7}{:>9}{:>9}{:>9}{:>11}{:>9}\n", "machine", "pages", "top-1", "top-2", "false",
             "log loss", "Brier");
  for (const auto& [name, tally] : by_machine) print_row(name, tally);
  print_row("all", all);
  fmt::print("\nprobability given   sides   mean   right\n");
  for (std::size_t k = 0; k < all.reliability.size(); ++k) {
    const ReliabilityBin& bin = all.reliability[k];
    if (bin.places == 0) continue;
    fmt::print("{:.1f} to {:.1f}{:>15}{:>7.2f}{:>8.2f}\n", 0.1 * static_cast<double>(k),
               0.1 * static_cast<double>(k + 1), bin.places, bin.probability / bin.places,
               static_cast<double>(bin.right) / bin.places);
  }
}

bool good_enough(const Options& options, const Tally& all) {
  return all.share(all.first) >= options.least_top1 && all.share(all.among_two) >= options.least_top2 &&
         all.false_places <= options.most_false;
}

int run(const Options& options) {
  const auto machines = shipped_machines(SCRAPETRACE_SOURCE_DIR);
  std::map<std::string, Tally> by_machine;
  Tally all;
  for (int k = options.first; k < options.first + options.pages; ++k) {
    const RandomPage page = draw_page(machines, k, options.page);
    const Findings findings = answer_to(page);
    const auto places = places_of(findings);
    const Verdict verdict = judge(places, page.residue());
    all.add(verdict, places, page.residue());
    by_machine[page.machine->name].add(verdict, places, page.residue());
    if (options.all || !verdict.first || verdict.false_place) print_answer(k, page, findings, places);
    std::fflush(stdout);
  }
  print_table(by_machine, all);
  if (good_enough(options, all)) return 0;
  fmt::print("\nworse than asked for: top-1 {}, top-2 {}, at most {} false\n", options.least_top1,
             options.least_top2, options.most_false);
  return 1;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(read_options(argc, argv));
  } catch (const std::exception& e) {
    fmt::print(stderr, "judge_pages: {}\n", e.what());
    return 2;
  }
}
