// A layout is bent, the forward model says where known places then show, noise is added, and the fit starts
// from the unbent one: what it says must hold the bent one within its stated intervals.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <iterator>
#include <random>

#include "fit/find_gap.h"
#include "geometry/contact.h"
#include "geometry/frames.h"
#include "scrapetrace/layout_fit.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace {
namespace {

// Three carriages, four heads that overlap, 0.1 mm columns.
Layout start() {
  Layout out;
  out.name = "Plinth";
  out.drum = {220, 300};
  out.raster = {254, 254};
  out.interleave = {8, {0, 5, 10, 15, 20, 25, 30, 35}};
  out.transfer = {true, 1.0, 210.0};
  out.inks = {{"black", {1.2, 1.2, 1.2}}};
  out.carriages = {{"front", 20, 0, 1}, {"middle", 100, 0, 1}, {"rear", 200, 0, -1}};
  out.heads = {
      {"a", 0, 40, 64, false}, {"b", 1, 480, 64, false}, {"c", 2, 970, 64, true}, {"d", 0, 1380, 64, false}};
  out.zones = {{"faceplate", Side::left, -2, 3, 0.6, 4}, {"faceplate", Side::right, -2, 3, 0.4, 4}};
  return out;
}

struct Bend {
  double scale = 1.0;
  double origin_mm = 0;
  std::vector<int> columns{0, 0, 0, 0};    // per head
  std::vector<double> offset_mm{0, 0, 0};  // per carriage
  bool mirrored = true;
};

Layout bent(const Bend& bend) {
  Layout out = start();
  out.transfer = {bend.mirrored, bend.scale, 210.0 + bend.origin_mm};
  for (std::size_t h = 0; h < out.heads.size(); ++h) out.heads[h].first_jet_px += bend.columns[h];
  for (std::size_t q = 0; q < out.carriages.size(); ++q) out.carriages[q].offset_mm = bend.offset_mm[q];
  return out;
}

// The middle of a jet's gap on the sheet of that machine, from the columns it lays.
double x_of_jet(const Layout& machine, std::size_t head, int jet) {
  const geometry::ColumnMap columns(machine);
  const auto lines = geometry::columns_of_jet(machine, columns, head, jet);
  const auto [first, last] = std::minmax_element(lines.begin(), lines.end());
  const auto q = machine.heads[head].carriage;
  return geometry::SheetFromDrum(machine).sheet_x(
      0.5 * (geometry::drum_x_of_column(machine, *first, q) + geometry::drum_x_of_column(machine, *last, q)));
}

KnownPlace jet(const Layout& machine, std::size_t head, int number, double noise_mm, double sigma_mm) {
  return {KnownJet{machine.heads[head].name, number, std::nullopt}, std::nullopt,
          x_of_jet(machine, head, number) + noise_mm, sigma_mm};
}

std::vector<KnownPlace> jets(const Layout& machine, const std::vector<int>& numbers, double spread_mm,
                             double sigma_mm, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0, 1);
  std::vector<KnownPlace> out;
  for (std::size_t h = 0; h < machine.heads.size(); ++h) {
    for (const int number : numbers)
      out.push_back(jet(machine, h, number, spread_mm * noise(random), sigma_mm));
  }
  return out;
}

const FittedKey& key(const LayoutFit& fit, const std::string& name) {
  for (const FittedKey& each : fit.keys) {
    if (each.key == name) return each;
  }
  ADD_FAILURE() << "no key " << name;
  return fit.keys.front();
}

constexpr const char* kScale = "transfer.scale_cross";
constexpr const char* kOrigin = "transfer.sheet_left_on_drum_mm";

TEST(FitLayout, GivesBackABentMachineFromPlacesWithoutNoise) {
  const Bend bend{1.002, 1.5, {0, 3, -2, 5}, {0, 0.03, -0.04}, true};
  const Layout machine = bent(bend);
  const auto fit = fit_layout(start(), jets(machine, {14, 34, 54}, 0, 0.05, 1), {});
  ASSERT_TRUE(fit.ok()) << to_string(fit.problems().front());
  EXPECT_TRUE(fit->mirroring_determined);
  EXPECT_NEAR(fit->layout.transfer.scale_cross, 1.002, 1e-9);
  EXPECT_NEAR(fit->layout.transfer.sheet_left_on_drum_mm, 211.5, 1e-6);
  for (std::size_t h = 0; h < 4; ++h)
    EXPECT_EQ(fit->layout.heads[h].first_jet_px, machine.heads[h].first_jet_px) << h;
  for (std::size_t q = 0; q < 3; ++q)
    EXPECT_NEAR(fit->layout.carriages[q].offset_mm, machine.carriages[q].offset_mm, 1e-6) << q;
}

// What a machine prints is told by where its jets land on the sheet, whatever the reference.
TEST(FitLayout, PlacesEveryJetOfABentMachineWhereItPrints) {
  const Bend bend{0.997, -2.0, {4, -3, 6, 1}, {0.02, -0.03, 0.04}, true};
  const Layout machine = bent(bend);
  const auto fit = fit_layout(start(), jets(machine, {14, 34, 54}, 0, 0.05, 1), {});
  ASSERT_TRUE(fit.ok());
  for (std::size_t h = 0; h < 4; ++h)
    for (const int number : {16, 44})
      EXPECT_NEAR(x_of_jet(fit->layout, h, number), x_of_jet(machine, h, number), 2e-3) << h;
}

// 95 % intervals hold the truth in 95 % of cases: 400 machines, so within 3 standard deviations of a
// binomial.
TEST(FitLayout, IntervalsHoldTheTruthAsOftenAsTheySay) {
  constexpr int kCases = 400;
  int scale = 0;
  int origin = 0;
  int offset = 0;
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> unit(-1, 1);
    const Bend bend{1 + 0.004 * unit(random),
                    2 * unit(random),
                    {0, 0, 0, 0},
                    {0, 0.02 * unit(random), 0.02 * unit(random)},
                    true};
    const Layout machine = bent(bend);
    // Offsets stay clear of half a column, beyond which first_jet_px takes a column of them over.
    // Twice as noisy as stated: the residuals have to tell.
    const auto fit = fit_layout(start(), jets(machine, {14, 24, 34, 44, 54}, 0.01, 0.005, seed), {});
    ASSERT_TRUE(fit.ok());
    ASSERT_TRUE(fit->noise_from_residuals);
    const auto holds = [&](const char* name, double truth) {
      const FittedKey& found = key(*fit, name);
      return found.fitted && found.low <= truth && truth <= found.high ? 1 : 0;
    };
    scale += holds(kScale, bend.scale);
    origin += holds(kOrigin, 210 + bend.origin_mm);
    offset += holds("carriage \"rear\": offset_mm", bend.offset_mm[2]);
  }
  const double spread = 3 * std::sqrt(kCases * 0.95 * 0.05);
  for (const int held : {scale, origin, offset}) {
    EXPECT_GE(held, 0.95 * kCases - spread);
    EXPECT_LE(held, 0.95 * kCases + spread);
  }
}

TEST(FitLayout, FindsTheMirroringThatTheStartingLayoutHasWrong) {
  const Layout machine = bent({1.0, 0, {0, 0, 0, 0}, {0, 0, 0}, false});
  const auto fit = fit_layout(start(), jets(machine, {14, 54}, 0.02, 0.02, 3), {});
  ASSERT_TRUE(fit.ok());
  EXPECT_TRUE(fit->mirroring_determined);
  EXPECT_FALSE(fit->layout.transfer.mirrored);
  EXPECT_LT(fit->mirrored_probability, 0.01);
}

TEST(FitLayout, NamesWhatOneJetPerHeadCannotTell) {
  const auto fit =
      fit_layout(start(), jets(bent({1.003, 1, {0, 2, 0, 0}, {0, 0, 0}, true}), {34}, 0, 0.02, 4), {});
  ASSERT_TRUE(fit.ok());
  const FittedKey& scale = key(*fit, kScale);
  EXPECT_FALSE(scale.fitted);
  EXPECT_EQ(scale.after, 1.0);
  EXPECT_NE(scale.note.find("no head has two places apart"), std::string::npos);
  EXPECT_TRUE(key(*fit, kOrigin).fitted);
  EXPECT_EQ(fit->degrees_of_freedom, 0);
  EXPECT_FALSE(fit->noise_from_residuals);
  for (const FittedPlace& place : fit->places) EXPECT_FALSE(place.checked) << place.name;
}

TEST(FitLayout, KeepsAScaleThatNeighbouringJetsTellTooPoorly) {
  std::vector<KnownPlace> places;
  for (const int number : {30, 31, 32}) places.push_back(jet(start(), 1, number, 0, 0.1));
  const auto fit = fit_layout(start(), places, {});
  ASSERT_TRUE(fit.ok());
  EXPECT_FALSE(key(*fit, kScale).fitted);
  EXPECT_NE(key(*fit, kScale).note.find("further apart"), std::string::npos);
}

TEST(FitLayout, KeepsWhatNoPlaceIsKnownOf) {
  std::vector<KnownPlace> places;
  for (const int number : {14, 54}) places.push_back(jet(start(), 1, number, 0, 0.02));
  const auto fit = fit_layout(start(), places, {});
  ASSERT_TRUE(fit.ok());
  EXPECT_NE(key(*fit, "carriage \"front\": offset_mm").note.find("no place was known"), std::string::npos);
  EXPECT_NE(key(*fit, "head \"c\": first_jet_px").note.find("no place was known"), std::string::npos);
  EXPECT_NE(key(*fit, "head \"b\": first_jet_px").note.find("reference"), std::string::npos);
}

TEST(FitLayout, LeavesOutOneWrongPairingAndNamesIt) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Layout machine = bent({1.001, 1, {0, 2, -1, 0}, {0, 0.02, 0}, true});
    auto places = jets(machine, {14, 34, 54}, 0.02, 0.02, seed);
    const std::size_t wrong = seed % places.size();
    places[wrong].jet->jet += 2;  // two jets further: 1.6 mm
    const auto fit = fit_layout(start(), places, {});
    ASSERT_TRUE(fit.ok()) << to_string(fit.problems().front());
    for (std::size_t i = 0; i < places.size(); ++i)
      EXPECT_EQ(fit->places[i].used, i != wrong) << seed << ' ' << i;
    EXPECT_NEAR(fit->layout.transfer.scale_cross, 1.001, 0.002);
  }
}

TEST(FitLayout, LeavesNothingOutWhereNothingIsWrong) {
  int left_out = 0;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    const auto fit = fit_layout(start(), jets(start(), {14, 34, 54}, 0.02, 0.02, seed), {});
    ASSERT_TRUE(fit.ok());
    for (const FittedPlace& place : fit->places) left_out += place.used ? 0 : 1;
  }
  EXPECT_LE(left_out, 3);  // 0.1 % each over 200: 0.2 expected
}

TEST(FitLayout, LeavesOutBothOfTwoThatContradictEachOther) {
  std::vector<KnownPlace> places;
  for (const std::size_t h : {0U, 2U, 3U})
    for (const int number : {14, 54}) places.push_back(jet(start(), h, number, 0, 0.02));
  places.push_back(jet(start(), 1, 14, 0, 0.02));
  places.push_back(jet(start(), 1, 54, 1.5, 0.02));  // one of the two, but which?
  const auto fit = fit_layout(start(), places, {});
  ASSERT_TRUE(fit.ok()) << to_string(fit.problems().front());
  ASSERT_EQ(fit->places.size(), 8U);
  EXPECT_EQ(fit->places[6].against, "head b, jet 54");
  EXPECT_EQ(fit->places[7].against, "head b, jet 14");
  EXPECT_FALSE(key(*fit, "head \"b\": first_jet_px").fitted);
  EXPECT_NEAR(fit->layout.transfer.scale_cross, 1, 1e-9);
  places[3].x_sheet_mm += 3;  // and the same on head c
  EXPECT_FALSE(fit_layout(start(), places, {}).ok());
}

// What the placing of a scan has wrong all its places share, and no residual shows it.
TEST(FitLayout, WidensIntervalsByWhatAllPlacesShare) {
  const auto places = jets(start(), {14, 34, 54}, 0.001, 0.001, 5);
  LayoutFitOptions options;
  const auto without = fit_layout(start(), places, options);
  options.shared_shift_sigma_mm = 0.1;
  options.shared_stretch_sigma = 0.001;
  const auto with = fit_layout(start(), places, options);
  ASSERT_TRUE(without.ok() && with.ok());
  const auto half = [](const LayoutFit& fit, const char* name) {
    return 0.5 * (key(fit, name).high - key(fit, name).low);
  };
  EXPECT_LT(half(*without, kScale), 0.001);
  EXPECT_NEAR(half(*with, kScale), 0.00196, 0.0002);
  EXPECT_NEAR(half(*with, kOrigin), 0.196, 0.02);
  EXPECT_EQ(half(*with, "carriage \"rear\": offset_mm"), half(*without, "carriage \"rear\": offset_mm"));
}

TEST(FitLayout, LearnsFromScrapesWhoseResidueWasSeen) {
  const Layout machine = bent({1.0, 3.0, {0, 0, 0, 0}, {0, 0, 0}, true});
  const geometry::ColumnMap columns(machine);
  std::vector<KnownPlace> places;
  for (std::size_t h = 0; h < 4; ++h) {
    for (const Side side : {Side::left, Side::right}) {
      const Head& head = machine.heads[h];
      if ((h == 0 && side == Side::left) || (h == 3 && side == Side::right)) continue;  // beyond the print
      const double outward = 0.8;
      const double middle = geometry::drum_from_outward(machine, head, side, outward);
      const auto touches =
          geometry::count_touches(machine, columns, {head.carriage, false, middle - 0.7, 1.4});
      double from = 1e9;
      double to = -1e9;
      for (std::size_t i = 0; i < touches.n.size(); ++i) {
        if (touches.n[i] == 0) continue;
        from = std::min(from, touches.first + static_cast<double>(i));
        to = std::max(to, touches.first + static_cast<double>(i) + 1);
      }
      KnownScrape scrape{head.name, side, "", outward, 0.3};
      places.push_back({std::nullopt, scrape,
                        geometry::SheetFromDrum(machine).sheet_x(0.5 * (from + to) * machine.px_mm()), 0.1});
    }
  }
  const auto fit = fit_layout(start(), places, {});
  ASSERT_TRUE(fit.ok()) << to_string(fit.problems().front());
  EXPECT_TRUE(fit->mirroring_determined);
  const FittedKey& origin = key(*fit, kOrigin);
  EXPECT_TRUE(origin.low <= 213 && 213 <= origin.high) << origin.low << ' ' << origin.high;
  EXPECT_NEAR(fit->layout.transfer.sheet_left_on_drum_mm, 213, 1.5);
}

TEST(FitLayout, RefusesPlacesThatTheLayoutDoesNotHave) {
  std::vector<KnownPlace> places{jet(start(), 0, 34, 0, 0.1), jet(start(), 1, 34, 0, 0.1)};
  places[0].jet->head = "z";
  places[1].jet->jet = 64;
  const auto fit = fit_layout(start(), places, {});
  ASSERT_FALSE(fit.ok());
  ASSERT_EQ(fit.problems().size(), 2U);
  EXPECT_NE(fit.problems()[0].what.find("\"a\", \"b\", \"c\" or \"d\""), std::string::npos)
      << fit.problems()[0].what;
  EXPECT_NE(fit.problems()[1].what.find("jets 0 to 63"), std::string::npos);
  EXPECT_FALSE(fit_layout(start(), {jet(start(), 0, 34, 0, 0.1)}, {}).ok());
}

TEST(PairJets, FindsTheJetsAmongOtherStreaksWhicheverWayTheTransferTurns) {
  for (const bool mirrored : {false, true}) {
    const Layout machine = bent({1.001, 2.5, {0, 3, -2, 4}, {0, 0.03, 0}, mirrored});
    std::vector<KnownJet> off;
    std::vector<Streak> streaks;
    for (std::size_t h = 0; h < 4; ++h) {
      for (const int number : {h == 1 ? 20 : 14, 44}) {
        off.push_back({machine.heads[h].name, number, std::nullopt});
        Streak streak;
        streak.x_sheet_mm = x_of_jet(machine, h, number);
        streak.sigma_mm = 0.03;
        streaks.push_back(streak);
      }
    }
    streaks.erase(streaks.begin() + 4);  // head c's first
    Streak other;
    other.x_sheet_mm = 71;
    streaks.push_back(other);
    const PairedJets found = pair_jets(start(), off, streaks, mirrored);
    ASSERT_EQ(found.places.size(), 7U);
    EXPECT_EQ(found.missing, std::vector<std::string>{"head c, jet 14"});
    for (const KnownPlace& place : found.places) {
      const auto h = static_cast<std::size_t>(place.jet->head[0] - 'a');
      EXPECT_EQ(place.x_sheet_mm, x_of_jet(machine, h, place.jet->jet));
    }
    EXPECT_EQ(mirrored_probability(start(), pair_jets(start(), off, streaks, false).places,
                                   pair_jets(start(), off, streaks, true).places, {}) > 0.99,
              mirrored);
  }
}

// Five lines 0.4 mm apart, each 0.1 mm wide, in a profile sampled every 0.05 mm.
struct Comb {
  std::vector<double> x;
  std::vector<double> loss;
  std::vector<double> lines{-0.8, -0.4, 0, 0.4, 0.8};
  Comb(double middle, double to) {
    for (double at = 0; at < to; at += 0.05) {
      x.push_back(at);
      double sum = 0;
      for (const double line : lines) sum += std::exp(-0.5 * std::pow((at - middle - line) / 0.05, 2));
      loss.push_back(sum);
    }
  }
};

TEST(FindGap, PlacesAJetsLinesToAPartOfASample) {
  for (const double middle : {5.0, 5.013, 4.62, 5.9}) {
    const Comb comb(middle, 12);
    const auto found = fit::find_gap(comb.x, comb.loss, comb.lines, 5.2, 2.5);
    ASSERT_TRUE(found.has_value()) << middle;
    EXPECT_NEAR(*found, middle, 0.01);
  }
}

TEST(FindGap, SaysNothingWhereTheProfileEndsWithinReach) {
  const Comb comb(5.0, 5.7);  // the last line is cut off
  EXPECT_FALSE(fit::find_gap(comb.x, comb.loss, comb.lines, 5.0, 2.5).has_value());
  const Comb none(50.0, 12);
  EXPECT_FALSE(fit::find_gap(none.x, none.loss, none.lines, 5.0, 2.5).has_value());
}

TEST(WriteLayout, IsReadBackAsTheSameLayout) {
  Layout machine = bent({1.0012345678901, 1.1, {0, 0, 0, 0}, {0.0123, 0, 0}, true});
  machine.name = "Quoted \"name\"";
  machine.heads[0].group = "row 1";
  const std::string text = layout::write_layout(machine, "one line\nand another");
  const auto read = layout::read_layout(text, "again.toml");
  ASSERT_TRUE(read.ok()) << to_string(read.problems().front());
  EXPECT_EQ(layout::write_layout(*read, "one line\nand another"), text);
  EXPECT_EQ(read->transfer.scale_cross, machine.transfer.scale_cross);
  EXPECT_EQ(read->name, machine.name);
  EXPECT_EQ(read->heads[0].group, "row 1");
}

TEST(ReadPlaces, TakesTheExampleOfTheDocuments) {
  std::ifstream file(std::string(SCRAPETRACE_SOURCE_DIR) + "/docs/layout-fit.md");
  const std::string text(std::istreambuf_iterator<char>(file), {});
  const auto from = text.find("```toml\n");
  ASSERT_NE(from, std::string::npos);
  const auto to = text.find("```", from + 8);
  const auto places = layout::read_places(text.substr(from + 8, to - from - 8), "docs/layout-fit.md");
  ASSERT_TRUE(places.ok()) << to_string(places.problems().front());
  ASSERT_EQ(places->size(), 3U);
  EXPECT_EQ((*places)[1].scrape->outward_mm, 1.0);
  EXPECT_EQ((*places)[2].scrape->surface, "faceplate");
}

TEST(ReadPlaces, SaysEverythingThatIsWrong) {
  const auto good = layout::read_places(
      "schema = \"scrapetrace.places/1\"\n[[jet]]\nhead = \"a\"\njet = 3\npass = 2\nx_sheet_mm = 12.5\n"
      "[[scrape]]\nhead = \"b\"\nside = \"right\"\nsurface = \"faceplate\"\nx_sheet_mm = 80.0\nsigma_mm = "
      "0.2\n",
      "places.toml");
  ASSERT_TRUE(good.ok()) << to_string(good.problems().front());
  ASSERT_EQ(good->size(), 2U);
  EXPECT_EQ((*good)[0].jet->pass, 2);
  EXPECT_EQ((*good)[0].sigma_mm, 0.1);
  EXPECT_EQ((*good)[1].scrape->side, Side::right);
  const auto bad = layout::read_places(
      "schema = \"scrapetrace.places/1\"\n[[jet]]\nhead = \"a\"\njet = -3\nx = 1.0\n[[scrape]]\nhead = "
      "\"b\"\n"
      "side = \"top\"\nx_sheet_mm = 80.0\nsigma_mm = 0.0\n",
      "places.toml");
  ASSERT_FALSE(bad.ok());
  EXPECT_EQ(bad.problems().size(), 6U);  // jet, x_sheet_mm missing, x, side, no place, sigma
}

}  // namespace
}  // namespace scrapetrace
