#include "layout/parse_toml.h"
#include "layout/schema.h"
#include "layout/table_reader.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::layout {

namespace {

constexpr Range kPart{0, 1};
constexpr Range kPositivePart{0, 1, true};
constexpr Range kGuard{0, 10};
constexpr Range kLimitWidthMm{0, 1000, true};
constexpr Range kDeltaE{0, 100, true};
constexpr Range kDistanceMm{50, 10000};
constexpr Range kLuminance{1, 10000};
constexpr WholeRange kNumber{0, 1000000};

void limit(TableReader& reader, std::string_view key, std::optional<double>& out, Range range) {
  double value = 0;
  if (reader.number(key, value, range, Need::optional) && reader.has(key)) out = value;
}

void limit(TableReader& reader, std::string_view key, std::optional<int>& out) {
  int value = 0;
  if (reader.whole(key, value, kNumber, Need::optional) && reader.has(key)) out = value;
}

void read_streak(const toml::table& table, Limits& limits, ProblemList& problems) {
  TableReader reader(table, "[streak]", problems);
  limit(reader, "loss_max", limits.loss_max, kPart);
  limit(reader, "width_max_mm", limits.width_max_mm, kLimitWidthMm);
  limit(reader, "number_max", limits.number_max);
  reader.number("seen_from_mm", limits.seen_from_mm, kLimitWidthMm, Need::optional);
  if (reader.has("seen_from_mm") && !reader.has("loss_max"))
    reader.problem("seen_from_mm",
                   "seen_from_mm of [streak] belongs to loss_max, which is not set; set both.");
  reader.finish();
}

void read_visible(const toml::table& table, Limits& limits, ProblemList& problems) {
  TableReader reader(table, "[visible]", problems);
  double value = 0;
  if (reader.number("delta_e_max", value, kDeltaE)) limits.delta_e_max = value;
  reader.number("viewing_distance_mm", limits.viewing_distance_mm, kDistanceMm, Need::optional);
  reader.number("luminance_cd_m2", limits.luminance_cd_m2, kLuminance, Need::optional);
  reader.finish();
}

void read_jets(const toml::table& table, Limits& limits, ProblemList& problems) {
  TableReader reader(table, "[jets]", problems);
  limit(reader, "dead_max_per_head", limits.dead_max_per_head);
  limit(reader, "lost_max", limits.lost_max);
  reader.number("dead_from_loss", limits.dead_from_loss, kPositivePart, Need::optional);
  if (!reader.has("dead_max_per_head") && !reader.has("lost_max"))
    reader.problem("dead_max_per_head", "[jets] sets no limit; set dead_max_per_head, lost_max or both.");
  reader.finish();
}

void read_unchecked(const toml::table& table, Limits& limits, ProblemList& problems) {
  TableReader reader(table, "[unchecked]", problems);
  int value = 0;
  if (reader.whole("sides_max", value, kNumber)) limits.sides_max = value;
  reader.finish();
}

bool none_set(const Limits& limits) {
  return !limits.loss_max && !limits.width_max_mm && !limits.number_max && !limits.delta_e_max &&
         !limits.dead_max_per_head && !limits.lost_max && !limits.sides_max;
}

}  // namespace

Result<Limits> read_limits(std::string_view toml, std::string_view file) {
  ProblemList problems(file);
  const toml::table tree = parse_toml(toml, problems);
  TableReader root(tree, "the limits file", problems);
  if (!check_schema(root, "scrapetrace.limits/1")) return problems.take();
  Limits limits;
  root.name("name", limits.name);
  root.number("guard", limits.guard, kGuard, Need::optional);
  using Read = void (*)(const toml::table&, Limits&, ProblemList&);
  for (const auto& [key, read] : {std::pair<const char*, Read>{"streak", read_streak},
                                  {"visible", read_visible},
                                  {"jets", read_jets},
                                  {"unchecked", read_unchecked}}) {
    if (const auto* table = root.table(key, Need::optional)) read(*table, limits, problems);
  }
  root.finish();
  if (problems.empty() && none_set(limits))
    problems.add(root.place(),
                 "no limit is set; set at least one in [streak], [visible], [jets] or [unchecked].");
  if (!problems.empty()) return problems.take();
  return limits;
}

}  // namespace scrapetrace::layout
