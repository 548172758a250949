// Where the time after the last row goes: reads a page once, locates on it many times, and prints each
// stage's processor time (the least and the median of the runs). Usage: stages LAYOUT CHART SCAN [RUNS
// [THREADS]]

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include "scan/read_page.h"
#include "scrapetrace/locate.h"
#include "scrapetrace/read_files.h"

namespace {

using namespace scrapetrace;

double now_ms() {
  timespec now{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return 1e3 * static_cast<double>(now.tv_sec) + 1e-6 * static_cast<double>(now.tv_nsec);
}

// Stages of the one thread that calls locate; they follow one another.
class Times : public StageListener {
 public:
  void begin(const char* name) override {
    if (open_.empty()) order_.insert({name, order_.size()});
    open_.emplace_back(name, now_ms());
  }
  void end() override {
    if (open_.size() == 1) sum_[open_.back().first] += now_ms() - open_.back().second;
    open_.pop_back();
  }
  void end_run() {
    for (auto& [name, ms] : sum_) runs_[name].push_back(ms);
    sum_.clear();
  }
  void print() const {
    double least = 0;
    double middle = 0;
    std::printf("%-16s %10s %10s\n", "stage", "least ms", "median ms");
    std::vector<std::string> names(order_.size());
    for (const auto& [name, place] : order_) names[place] = name;
    for (const std::string& name : names) {
      std::vector<double> runs = runs_.at(name);
      std::sort(runs.begin(), runs.end());
      std::printf("%-16s %10.2f %10.2f\n", name.c_str(), runs.front(), runs[runs.size() / 2]);
      least += runs.front();
      middle += runs[runs.size() / 2];
    }
    std::printf("%-16s %10.2f %10.2f\n", "all", least, middle);
  }

 private:
  std::vector<std::pair<std::string, double>> open_;
  std::map<std::string, std::size_t> order_;
  std::map<std::string, double> sum_;
  std::map<std::string, std::vector<double>> runs_;
};

std::string text_of(const char* path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 4) {
    std::fprintf(stderr, "usage: %s LAYOUT CHART SCAN [RUNS [THREADS]]\n", argv[0]);
    return 2;
  }
  const auto layout = layout::read_layout(text_of(argv[1]), argv[1]);
  if (!layout) return 1;
  const auto chart = layout::read_chart(text_of(argv[2]), argv[2], &*layout);
  if (!chart) return 1;
  scan::ReadOptions reading;
  reading.sheet_mm = chart->sheet_mm;
  reading.drum_width_mm = layout->drum.width_mm;
  const std::vector<ScanInput> scans{{argv[3], scan::read_page(argv[3], reading)}};
  Times times;
  LocateOptions options;
  options.stages = &times;
  options.threads = argc > 5 ? std::atoi(argv[5]) : 1;
  std::size_t targets = 0;
  for (int run = argc > 4 ? std::atoi(argv[4]) : 9; run > 0; --run) {
    targets = locate(*layout, &*chart, scans, options).findings.targets.size();
    times.end_run();
  }
  times.print();
  return targets > 0 ? 0 : 1;
}
