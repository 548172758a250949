#include "locate/merge_ways.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "locate/same_place.h"
#include "locate/ways_up.h"
#include "targets/rank_targets.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kLeast = 0.005;       // of a target's probability, as in ranking
constexpr double kRivalLeast = 0.02;   // as in ranking
constexpr double kSameMark_mm = 2.0;   // between the middles of one mark read two ways
constexpr double kSamePlace_mm = 1.0;  // between the ends of one unchecked stretch

constexpr const char* kTellApart =
    "Which of the two depends on the way round the sheet lay in the scanner: say where its lead edge lies "
    "with --lead-edge.";

// Ids of the first answer's streaks by those of another one.
class SameMarks {
 public:
  SameMarks(const WeighedAnswer& first, const WeighedAnswer& other) : first_(first), other_(other) {}

  [[nodiscard]] std::vector<std::size_t> ids(const std::vector<std::size_t>& others) const {
    std::vector<std::size_t> out;
    for (const std::size_t id : others) {
      for (const Streak& s : other_.result.findings.streaks) {
        if (s.id != id) continue;
        const std::size_t same = nearest(s);
        if (same != 0 && std::find(out.begin(), out.end(), same) == out.end()) out.push_back(same);
      }
    }
    std::sort(out.begin(), out.end());
    return out;
  }

 private:
  // Through the raster: the sheet x that the first way gives the mark's middle.
  [[nodiscard]] std::size_t nearest(const Streak& s) const {
    const std::size_t scan = s.scans.empty() ? 0 : s.scans.front();
    const auto& from = other_.placements[scan];
    const double y = s.y_sheet_mm.empty() ? from.chart.sheet_mm[1] / 2
                                          : 0.5 * (s.y_sheet_mm.front().from_mm + s.y_sheet_mm.front().to_mm);
    const auto sheet =
        first_.placements[scan].map.sheet(from.map.u(s.x_sheet_mm, y), from.map.v(s.x_sheet_mm, y));
    std::size_t id = 0;
    double least = kSameMark_mm;
    for (const Streak& mine : first_.result.findings.streaks) {
      const double distance = std::abs(mine.x_sheet_mm - sheet[0]);
      if (distance < least) least = distance, id = mine.id;
    }
    return id;
  }

  const WeighedAnswer& first_;
  const WeighedAnswer& other_;
};

void add_streaks(Target& target, const std::vector<std::size_t>& ids) {
  for (const std::size_t id : ids) {
    if (std::find(target.streaks.begin(), target.streaks.end(), id) == target.streaks.end())
      target.streaks.push_back(id);
  }
  std::sort(target.streaks.begin(), target.streaks.end());
}

// How the two are told apart: as within one way where they are rivals there.
std::string tell_apart(const Target& a, const Target& b) {
  for (const Rival& r : a.rivals) {
    if (same_place(r, b)) return r.tell_apart;
  }
  return kTellApart;
}

// `list`: the targets, or the traces.
std::vector<Target> merge_targets(const std::vector<WeighedAnswer>& answers,
                                  std::vector<Target> Findings::*list) {
  std::vector<Target> merged;
  for (const WeighedAnswer& answer : answers) {
    const SameMarks marks(answers.front(), answer);
    for (Target target : answer.result.findings.*list) {
      target.probability *= answer.probability;
      target.streaks = marks.ids(target.streaks);
      const auto same =
          std::find_if(merged.begin(), merged.end(), [&](const Target& t) { return same_place(t, target); });
      if (same == merged.end()) {
        merged.push_back(std::move(target));
        continue;
      }
      // The place on drum and sheet is that of the likelier way.
      same->probability += target.probability;
      add_streaks(*same, target.streaks);
    }
  }
  merged.erase(
      std::remove_if(merged.begin(), merged.end(), [](const Target& t) { return t.probability < kLeast; }),
      merged.end());
  std::stable_sort(merged.begin(), merged.end(),
                   [](const Target& a, const Target& b) { return a.probability > b.probability; });
  const std::vector<Target> before = merged;
  for (Target& target : merged) {
    const Target& own = before[static_cast<std::size_t>(&target - merged.data())];
    target.rivals.clear();
    for (const Target& other : before) {
      if (same_place(own, other) || other.probability < kRivalLeast || !diagnose::share_a_streak(own, other))
        continue;
      target.rivals.push_back(
          {other.head, other.side, other.surface, other.probability, tell_apart(own, other)});
    }
  }
  return merged;
}

constexpr auto kResidue = static_cast<std::size_t>(Cause::residue);

// Of each streak of the first answer: what the same mark is, over all ways. Of several marks of another way
// the one that is likeliest residue speaks for it; a way without the mark does not know what it is.
void merge_causes(std::vector<WeighedAnswer>& answers) {
  auto& streaks = answers.front().result.findings.streaks;
  std::vector<std::array<double, kCauseCount>> merged(streaks.size());
  for (const WeighedAnswer& answer : answers) {
    const SameMarks marks(answers.front(), answer);
    std::vector<const Streak*> speaks(streaks.size(), nullptr);
    for (const Streak& streak : answer.result.findings.streaks) {
      for (const std::size_t id : marks.ids({streak.id})) {
        const Streak*& best = speaks[id - 1];
        if (best == nullptr || streak.causes[kResidue] > best->causes[kResidue]) best = &streak;
      }
    }
    for (std::size_t k = 0; k < streaks.size(); ++k) {
      if (speaks[k] == nullptr) merged[k][static_cast<std::size_t>(Cause::unknown)] += answer.probability;
      for (std::size_t c = 0; c < kCauseCount && speaks[k] != nullptr; ++c)
        merged[k][c] += answer.probability * speaks[k]->causes[c];
    }
  }
  for (std::size_t k = 0; k < streaks.size(); ++k) streaks[k].causes = merged[k];
}

// Of each streak of the first answer: what the same mark comes from, over all ways.
void merge_streak_targets(std::vector<WeighedAnswer>& answers) {
  auto& streaks = answers.front().result.findings.streaks;
  std::vector<std::vector<StreakTarget>> merged(streaks.size());
  for (const WeighedAnswer& answer : answers) {
    const SameMarks marks(answers.front(), answer);
    for (const Streak& streak : answer.result.findings.streaks) {
      for (const std::size_t id : marks.ids({streak.id})) {
        auto& targets = merged[id - 1];
        for (StreakTarget target : streak.targets) {
          target.probability *= answer.probability;
          const auto same = std::find_if(targets.begin(), targets.end(), [&](const StreakTarget& t) {
            return std::tie(t.head, t.side, t.surface) == std::tie(target.head, target.side, target.surface);
          });
          if (same == targets.end()) {
            targets.push_back(std::move(target));
          } else {
            same->probability += target.probability;
          }
        }
      }
    }
  }
  for (std::size_t k = 0; k < streaks.size(); ++k) {
    std::stable_sort(merged[k].begin(), merged[k].end(), [](const StreakTarget& a, const StreakTarget& b) {
      return a.probability > b.probability;
    });
    streaks[k].targets = std::move(merged[k]);
  }
}

// Each scan's ways round, likeliest first.
void merge_ways_up(std::vector<WeighedAnswer>& answers) {
  auto& scans = answers.front().result.findings.scans;
  for (std::size_t i = 0; i < scans.size(); ++i) {
    if (!scans[i].registration) continue;
    std::vector<WayUp> merged;
    for (const WeighedAnswer& answer : answers) {
      for (WayUp way : answer.ways_up[i]) {
        way.probability *= answer.probability;
        add_way(way, merged);
      }
    }
    std::stable_sort(merged.begin(), merged.end(),
                     [](const WayUp& a, const WayUp& b) { return a.probability > b.probability + 1e-9; });
    scans[i].registration->ways_up = std::move(merged);
  }
}

void add_unchecked(const std::vector<Unchecked>& more, std::vector<Unchecked>& unchecked) {
  for (const Unchecked& item : more) {
    const bool known = std::any_of(unchecked.begin(), unchecked.end(), [&](const Unchecked& u) {
      return std::abs(u.x_drum_mm.from_mm - item.x_drum_mm.from_mm) < kSamePlace_mm &&
             std::abs(u.x_drum_mm.to_mm - item.x_drum_mm.to_mm) < kSamePlace_mm;
    });
    if (known) continue;
    unchecked.push_back(item);
    unchecked.back().reason += ", if the sheet lay the other way round";
  }
}

// Of ways that count alike, the usual one: upright, then turned, then mirrored.
int unusual(const WeighedAnswer& answer) {
  for (const auto& ways : answer.ways_up) {
    if (!ways.empty()) return (ways.front().face_mirrored ? 2 : 0) + (ways.front().turn_deg == 0 ? 0 : 1);
  }
  return 0;
}

bool comes_first(const WeighedAnswer& a, const WeighedAnswer& b) {
  constexpr double kSteps = 1e9;  // sums of equals are not quite equal
  const auto step_a = std::llround(kSteps * a.probability);
  const auto step_b = std::llround(kSteps * b.probability);
  return step_a != step_b ? step_a > step_b : unusual(a) < unusual(b);
}

}  // namespace

LocateResult merge_ways(std::vector<WeighedAnswer> answers) {
  std::stable_sort(answers.begin(), answers.end(), comes_first);
  if (answers.size() > 1) {
    auto targets = merge_targets(answers, &Findings::targets);
    auto traces = merge_targets(answers, &Findings::traces);
    merge_streak_targets(answers);
    merge_causes(answers);
    double checked = 0;
    for (const WeighedAnswer& answer : answers)
      checked += answer.probability * answer.result.findings.checked;
    answers.front().result.findings.checked = checked;
    auto& unchecked = answers.front().result.findings.unchecked;
    for (std::size_t k = 1; k < answers.size(); ++k)
      add_unchecked(answers[k].result.findings.unchecked, unchecked);
    answers.front().result.findings.targets = std::move(targets);
    answers.front().result.findings.traces = std::move(traces);
  }
  merge_ways_up(answers);
  return std::move(answers.front().result);
}

}  // namespace scrapetrace::locate_detail
