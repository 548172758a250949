#include "layout/read_causes.h"

#include <fmt/format.h>

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geometry/frames.h"
#include "layout/limits.h"
#include "layout/unique_names.h"

namespace scrapetrace::layout {

namespace {

constexpr Range kWidthMm{0, 100, true};
constexpr Range kStandsOffMm{-5, 5};

void read_y(TableReader& reader, YSpan& out) {
  std::array<double, 2> y{};
  const bool read = reader.numbers("y_mm", y, kPositionMm, Need::optional);
  if (!read || !reader.has("y_mm")) return;
  if (y[0] >= y[1]) {
    reader.problem("y_mm", fmt::format("y_mm of {} goes from {} to {}; the first must be below the second.",
                                       reader.called(), y[0], y[1]));
  }
  out = {y[0], y[1]};
}

class CausesReading {
 public:
  CausesReading(const Layout& layout, ProblemList& problems) : layout_(layout), problems_(problems) {}

  void read_residue(const toml::table& table) {
    TableReader reader = reader_of(table, "residue", causes.residues.size());
    Residue out;
    std::string contact;
    reader.word("contact", contact, {"upstream", "downstream"});
    out.downstream = contact == "downstream";
    reader.number("width_mm", out.width_mm, kWidthMm);
    reader.number("loss", out.loss, kFraction);
    read_y(reader, out.y);
    const bool by_head = reader.has("head");
    if (by_head == reader.has("carriage")) {
      problems_.add(
          reader.place(),
          fmt::format("{} must say in one way where it sits: either head, side, surface and outward_mm, or "
                      "carriage and x_drum_mm.",
                      reader.called()));
    }
    place_by_carriage(reader, out, by_head);
    if (by_head) place_by_head(reader, out);
    reader.finish();
    causes.residues.push_back(std::move(out));
  }

  void read_jet(const toml::table& table) {
    TableReader reader = reader_of(table, "jet", causes.jets.size());
    WeakJet out;
    std::string ink;
    const auto head = read_head(reader);
    out.head = head.value_or(0);
    if (reader.name("ink", ink)) {
      out.ink = find_named("ink", layout_.inks, ink, reader.place("ink"), problems_).value_or(0);
    }
    reader.whole("jet", out.jet, head ? WholeRange{0, layout_.heads[*head].jets - 1} : kJets);
    reader.number("loss", out.loss, kFraction, Need::optional);
    reader.finish();
    causes.jets.push_back(out);
  }

  void read_scratch(const toml::table& table) {
    TableReader reader = reader_of(table, "scratch", causes.scratches.size());
    DrumScratch out;
    reader.number("x_drum_mm", out.x_mm, kPositionMm);
    reader.number("width_mm", out.width_mm, kWidthMm);
    reader.number("loss", out.loss, kFraction);
    read_y(reader, out.y);
    reader.finish();
    causes.scratches.push_back(out);
  }

  void read_haze(const toml::table& table) {
    TableReader reader = reader_of(table, "haze", causes.hazes.size());
    BladeHaze out;
    reader.number("x_drum_mm", out.x_mm, kPositionMm);
    reader.number("width_mm", out.width_mm, kWidthMm);
    reader.number("density", out.density, {0, 4, true});
    read_y(reader, out.y);
    reader.finish();
    causes.hazes.push_back(out);
  }

  void read_line(const toml::table& table) {
    TableReader reader = reader_of(table, "line", causes.lines.size());
    ScannerLine out;
    reader.number("column_fraction", out.column_fraction, {0, 1});
    reader.number("width_px", out.width_px, {0, 100, true});
    reader.number("gain", out.gain, {0, 10});
    reader.finish();
    causes.lines.push_back(out);
  }

  void read_shift(const toml::table& table) {
    TableReader reader = reader_of(table, "shift", causes.shifts.size());
    CarriageShift out;
    std::string name;
    if (reader.name("carriage", name)) {
      out.carriage =
          find_named("carriage", layout_.carriages, name, reader.place("carriage"), problems_).value_or(0);
    }
    reader.number("offset_mm", out.offset_mm, kStandsOffMm);
    reader.finish();
    causes.shifts.push_back(out);
  }

  Causes causes;

 private:
  TableReader reader_of(const toml::table& table, const char* kind, std::size_t index) {
    return TableReader(table, fmt::format("{} {}", kind, index + 1), problems_);
  }

  std::optional<std::size_t> read_head(TableReader& reader) {
    std::string name;
    if (!reader.name("head", name)) return std::nullopt;
    return find_named("head", layout_.heads, name, reader.place("head"), problems_);
  }

  void place_by_carriage(TableReader& reader, Residue& out, bool by_head) {
    const Need need = reader.has("carriage") && !by_head ? Need::required : Need::optional;
    std::string name;
    if (reader.name("carriage", name, need) && !name.empty()) {
      out.carriage =
          find_named("carriage", layout_.carriages, name, reader.place("carriage"), problems_).value_or(0);
    }
    reader.number("x_drum_mm", out.x_mm, kPositionMm, need);
  }

  void place_by_head(TableReader& reader, Residue& out) {
    const auto head = read_head(reader);
    std::string side;
    const bool sided = reader.word("side", side, {"left", "right"});
    const bool surfaced = reader.name("surface", out.surface);
    double outward_mm = 0;
    const bool placed = reader.number("outward_mm", outward_mm, kOutwardMm);
    if (!head || !sided || !surfaced || !placed) return;
    out.side = side == "right" ? Side::right : Side::left;
    check_zone(reader, out, outward_mm);
    const Head& at = layout_.heads[*head];
    out.head = at.name;
    out.carriage = at.carriage;
    out.x_mm = geometry::drum_from_outward(layout_, at, *out.side, outward_mm) - out.width_mm / 2;
  }

  void check_zone(TableReader& reader, const Residue& residue, double outward_mm) {
    for (const Zone& zone : layout_.zones) {
      if (zone.surface != residue.surface || zone.side != residue.side) continue;
      if (outward_mm >= zone.from_mm && outward_mm <= zone.to_mm) return;
      reader.problem(
          "outward_mm",
          fmt::format("outward_mm of {} is {}; the {} of that side goes from {} to {}.", reader.called(),
                      outward_mm, in_quotes(zone.surface), zone.from_mm, zone.to_mm));
      return;
    }
    std::vector<std::string> known;
    for (const Zone& zone : layout_.zones) {
      if (zone.side == residue.side) known.push_back(zone.surface);
    }
    reader.problem("surface",
                   fmt::format("the layout has no {} side of {}; known surfaces of that side: {}.{}",
                               to_string(*residue.side), in_quotes(residue.surface),
                               known.empty() ? "none" : any_of(known), did_you_mean(residue.surface, known)));
  }

  const Layout& layout_;
  ProblemList& problems_;
};

}  // namespace

Causes read_causes(TableReader& root, const Layout& layout, ProblemList& problems) {
  CausesReading in(layout, problems);
  for (const auto* t : root.tables("residue", kMostCauses, Need::optional)) in.read_residue(*t);
  for (const auto* t : root.tables("jet", kMostCauses, Need::optional)) in.read_jet(*t);
  for (const auto* t : root.tables("scratch", kMostCauses, Need::optional)) in.read_scratch(*t);
  for (const auto* t : root.tables("haze", kMostCauses, Need::optional)) in.read_haze(*t);
  for (const auto* t : root.tables("line", kMostCauses, Need::optional)) in.read_line(*t);
  for (const auto* t : root.tables("shift", kMostCauses, Need::optional)) in.read_shift(*t);
  return std::move(in.causes);
}

}  // namespace scrapetrace::layout
