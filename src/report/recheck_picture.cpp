// The page before and after a cleaning, and the heads with current probabilities.

#include <fmt/format.h>

#include <algorithm>

#include "report/picture_parts.h"
#include "report/recheck_html.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

using namespace picture;

constexpr double kPairMargin = 36;     // for the side ruler's numbers
constexpr double kTallestPage = 0.36;  // two pages and the heads must fit on one A4

const Streak* by_id(const Findings& findings, const std::optional<std::size_t>& id) {
  for (const Streak& streak : findings.streaks) {
    if (id && streak.id == *id) return &streak;
  }
  return nullptr;
}

// Streaks renumbered by their change, so that the number is the same on both pages and the heads.
Findings renumbered(const RecheckStory& story, const Findings& findings, bool after) {
  Findings out;
  out.scans = findings.scans;
  for (std::size_t i = 0; i < story.result.changes.size(); ++i) {
    const StreakChange& change = story.result.changes[i];
    const Streak* streak = by_id(findings, after ? change.after : change.before);
    if (streak == nullptr) continue;
    out.streaks.push_back(*streak);
    out.streaks.back().id = i + 1;
  }
  return out;
}

const Target* find_target(const Findings& findings, const RecheckTarget& wanted) {
  for (const Target& target : findings.targets) {
    if (target.head == wanted.head && target.side == wanted.side && target.surface == wanted.surface)
      return &target;
  }
  return nullptr;
}

// Changes whose streak may come from a target and may still be there.
std::vector<std::size_t> changes_of(const RecheckStory& story, const RecheckTarget& target) {
  constexpr double kWorthDrawing = 0.01;
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < story.result.changes.size(); ++i) {
    const StreakChange& change = story.result.changes[i];
    const Streak* streak = by_id(story.evidence.after, change.after);
    if (streak == nullptr) streak = by_id(story.evidence.before, change.before);
    if (streak == nullptr || change.change == Change::gone) continue;
    const auto supports = [&](const StreakTarget& t) {
      return t.head == target.head && t.side == target.side && t.surface == target.surface &&
             t.probability >= kWorthDrawing;
    };
    if (std::any_of(streak->targets.begin(), streak->targets.end(), supports)) out.push_back(i + 1);
  }
  return out;
}

std::vector<Target> targets_now(const RecheckStory& story) {
  std::vector<Target> out;
  for (const RecheckTarget* now : targets_worth_naming(story.result)) {
    const Target* known = find_target(story.evidence.after, *now);
    if (known == nullptr) known = find_target(story.evidence.before, *now);
    Target target = known == nullptr ? Target{} : *known;
    target.head = now->head;
    target.side = now->side;
    target.surface = now->surface;
    // Without a ranking in either set of scans the place of the residue is unknown: do not draw it.
    target.probability = known == nullptr ? 0 : now->now;
    target.over_jets = now->over_jets;
    target.touch_from_mm = now->touch_from_mm;
    target.streaks = changes_of(story, *now);
    out.push_back(std::move(target));
  }
  return out;
}

// The page after, with the places of streaks that are gone.
struct AfterPage {
  Findings findings;
  std::vector<StreakMark> marks;
};

AfterPage after_page(const RecheckStory& story, const Findings& before) {
  AfterPage out;
  out.findings = renumbered(story, story.evidence.after, true);
  for (const Streak& streak : before.streaks) {
    const StreakChange& change = story.result.changes[streak.id - 1];
    if (!change.after) out.findings.streaks.push_back(streak);
  }
  for (const Streak& streak : out.findings.streaks) {
    const StreakChange& change = story.result.changes[streak.id - 1];
    const bool hidden = change.change == Change::could_not_look;
    const MarkStyle style = change.change == Change::gone          ? MarkStyle::settled
                            : streak.likeliest() == Cause::residue ? MarkStyle::residue
                                                                   : MarkStyle::other;
    out.marks.push_back({&streak, hidden ? "not seen" : to_string(change.change), style});
  }
  return out;
}

double draw_title(Svg& svg, const Frame& frame, std::string_view title, const Findings& findings,
                  const std::vector<std::optional<EncodedThumbnail>>& pages, double top) {
  std::string file;
  const EncodedThumbnail* shown = shown_page(findings, pages);
  for (std::size_t i = 0; i < pages.size() && i < findings.scans.size(); ++i) {
    if (pages[i] && &*pages[i] == shown) file = printable(findings.scans[i].file);
  }
  file = file.substr(file.find_last_of('/') + 1);
  svg.text(frame.left_px, top + 16, file.empty() ? std::string(title) : fmt::format("{}: {}", title, file),
           {15, true, Anchor::start, kInk});
  return top + 26;
}

}  // namespace

std::string recheck_picture(const RecheckStory& story, const RecheckPages& pages) {
  Findings before = renumbered(story, story.evidence.before, false);
  AfterPage after = after_page(story, before);
  after.findings.targets = targets_now(story);
  after.findings.unchecked = story.evidence.after.unchecked;
  PictureOptions options;
  options.width_px = pages.width_px;
  options.unit = story.unit;
  options.sheet_mm = pages.sheet_mm;
  const EncodedThumbnail* shown_before = shown_page(before, pages.before);
  const EncodedThumbnail* shown_after = shown_page(after.findings, pages.after);
  // The same sheet size for both pages.
  const PageBox page = page_of(story.layout, shown_before != nullptr ? shown_before : shown_after, options);
  Frame frame = frame_of(story.layout, page, options, kPairMargin);
  frame.in_page = true;
  frame.tallest_page = kTallestPage;
  Svg svg;
  double y = draw_title(svg, frame, "Before", before, pages.before, 4);
  y = draw_page(svg, frame, page, shown_before, marks_of(before), y) + 16;
  y = draw_title(svg, frame, "After", after.findings, pages.after, y);
  const double page_bottom = draw_page(svg, frame, page, shown_after, after.marks, y);
  y = draw_ruler(svg, frame, page, after.findings, page_bottom + 10);
  y = draw_heads(svg, frame, story.layout, after.findings, page_bottom, y);
  return std::move(svg).finish_inline(pages.width_px, y,
                                      "The page before and after the cleaning with its streaks, and the "
                                      "heads below them",
                                      kHatchDefs);
}

}  // namespace scrapetrace::report
