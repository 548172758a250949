// A program of somebody else's: reads a layout, a chart and a scan with the installed library, and says what
// to clean.
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>

#include "scrapetrace/locate.h"
#include "scrapetrace/read_files.h"
#include "scrapetrace/sheet.h"

std::string text_of(const char* file) {
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  return text.str();
}

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  const auto layout = scrapetrace::layout::read_layout(text_of(argv[1]), argv[1]);
  if (!layout) return 2;
  const auto chart = scrapetrace::layout::read_chart(text_of(argv[2]), argv[2], &*layout);
  if (!chart) return 2;
  const scrapetrace::ScanInput scan{argv[3], scrapetrace::read_sheet(argv[3], *layout, &*chart)};
  const auto result = scrapetrace::locate(*layout, &*chart, {scan}, {});
  for (const auto& target : result.findings.targets)
    std::cout << target.head << ' ' << to_string(target.side) << ' ' << target.surface << '\n';
  return result.findings.any_scan_analysed() ? 0 : 1;
}
