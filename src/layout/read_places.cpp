#include <fmt/format.h>

#include "layout/limits.h"
#include "layout/parse_toml.h"
#include "layout/schema.h"
#include "layout/table_reader.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::layout {

namespace {

constexpr int kMostPlaces = 1000;
constexpr Range kSigmaMm{0, 100, true};
constexpr WholeRange kJet{0, 19999};
constexpr WholeRange kPass{0, kMostPasses - 1};

void read_measured(TableReader& reader, KnownPlace& place) {
  reader.number("x_sheet_mm", place.x_sheet_mm, kPositionMm);
  reader.number("sigma_mm", place.sigma_mm, kSigmaMm, Need::optional);
}

KnownPlace read_jet(const toml::table& table, const std::string& called, ProblemList& problems) {
  TableReader reader(table, called, problems);
  KnownPlace place;
  KnownJet jet;
  reader.name("head", jet.head);
  reader.whole("jet", jet.jet, kJet);
  int pass = 0;
  if (reader.has("pass") && reader.whole("pass", pass, kPass)) jet.pass = pass;
  read_measured(reader, place);
  reader.finish();
  place.jet = std::move(jet);
  return place;
}

KnownPlace read_scrape(const toml::table& table, const std::string& called, ProblemList& problems) {
  TableReader reader(table, called, problems);
  KnownPlace place;
  KnownScrape scrape;
  reader.name("head", scrape.head);
  std::string side;
  reader.word("side", side, {"left", "right"});
  scrape.side = side == "right" ? Side::right : Side::left;
  reader.name("surface", scrape.surface, Need::optional);
  double value = 0;
  if (reader.has("outward_mm") && reader.number("outward_mm", value, kOutwardMm)) scrape.outward_mm = value;
  if (reader.has("outward_sigma_mm") && reader.number("outward_sigma_mm", value, kSigmaMm))
    scrape.outward_sigma_mm = value;
  if (!reader.has("surface") && !reader.has("outward_mm")) {
    reader.problem("head", fmt::format("{} says neither outward_mm nor surface; give the distance from the "
                                       "outermost jet, or the layout's surface that the residue sat on.",
                                       called));
  }
  read_measured(reader, place);
  reader.finish();
  place.scrape = std::move(scrape);
  return place;
}

}  // namespace

Result<std::vector<KnownPlace>> read_places(std::string_view toml, std::string_view file) {
  ProblemList problems(file);
  const toml::table tree = parse_toml(toml, problems);
  TableReader root(tree, "the places", problems);
  if (!check_schema(root, "scrapetrace.places/1")) return problems.take();
  std::string name;
  root.name("name", name, Need::optional);
  std::vector<KnownPlace> places;
  for (const auto* table : root.tables("jet", kMostPlaces, Need::optional))
    places.push_back(read_jet(*table, fmt::format("jet {}", places.size() + 1), problems));
  const std::size_t jets = places.size();
  for (const auto* table : root.tables("scrape", kMostPlaces, Need::optional))
    places.push_back(read_scrape(*table, fmt::format("scrape {}", places.size() - jets + 1), problems));
  root.finish();
  if (problems.empty() && places.empty())
    problems.add(root.place(), "no place is given; add [[jet]] or [[scrape]] tables.");
  if (!problems.empty()) return problems.take();
  return places;
}

}  // namespace scrapetrace::layout
