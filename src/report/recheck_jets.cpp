// What a cleaning did to the jets, in words.

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "report/jet_lines.h"
#include "report/recheck_report.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr double kSureOfJets = 0.95;

// Jets that one head lost.
struct Lost {
  std::size_t number = 0;
  bool all_dead = true;
  bool sure = true;
  std::vector<std::string> inks;
  std::optional<double> nearest_mm;
};

std::map<std::string, Lost> lost_by_head(const RecheckStory& story) {
  std::map<std::string, Lost> out;
  for (const JetChange& jet : story.result.jets) {
    if (jet.state != JetState::lost) continue;
    Lost& lost = out[jet.head];
    ++lost.number;
    lost.all_dead = lost.all_dead && jet.dead;
    lost.sure = lost.sure && jet.probability >= kSureOfJets;
    if (std::find(lost.inks.begin(), lost.inks.end(), jet.ink) == lost.inks.end())
      lost.inks.push_back(jet.ink);
    if (jet.from_cleaned_mm && (!lost.nearest_mm || *jet.from_cleaned_mm < *lost.nearest_mm))
      lost.nearest_mm = jet.from_cleaned_mm;
  }
  return out;
}

// "3 jets of head 2 (black), the nearest 0.4 mm from the place you cleaned, no longer print"
std::string lost_words(const std::string& head, const Lost& lost, LengthUnit unit) {
  std::string inks;
  for (const auto& ink : lost.inks) inks += (inks.empty() ? "" : ", ") + printable(ink);
  const bool one = lost.number == 1;
  std::string out =
      fmt::format("{} jet{} of head {} ({})", lost.number, one ? "" : "s", printable(head), inks);
  if (lost.nearest_mm) {
    out += fmt::format(", {}{},", one ? "" : "the nearest ", from_cleaned_words(*lost.nearest_mm, unit));
  } else {
    out += ", a head that you did not clean,";
  }
  out += lost.sure ? "" : " probably";
  if (lost.all_dead) return out + (one ? " no longer prints" : " no longer print");
  return out + (one ? " prints less than before" : " print less than before");
}

}  // namespace

std::string jets_sentence(const RecheckStory& story) {
  std::string cleaned;
  std::string others;
  for (const auto& [head, lost] : lost_by_head(story)) {
    std::string& to = lost.nearest_mm ? cleaned : others;
    to += (to.empty() ? "" : "; ") + lost_words(head, lost, story.unit);
  }
  std::string out = cleaned.empty() ? "" : "Stop: " + cleaned + ".";
  if (!others.empty()) out += (out.empty() ? "" : " ") + others + ".";
  return out;
}

std::string jets_words(const RecheckStory& story) {
  const auto& jets = story.result.jets;
  if (jets.empty()) return "no weak or dead jet on the scans after";
  const auto count = [&](JetState state) {
    return std::count_if(jets.begin(), jets.end(), [&](const JetChange& jet) { return jet.state == state; });
  };
  std::string out = fmt::format("{} weak or dead: {} lost since before", jets.size(), count(JetState::lost));
  if (count(JetState::was_so) > 0) out += fmt::format(", {} so before, too", count(JetState::was_so));
  if (count(JetState::unknown) > 0)
    out += fmt::format(", {} not shown by the scans before", count(JetState::unknown));
  return out;
}

std::string streaks_besides(const RecheckStory& story) {
  std::array<std::size_t, kChangeCount> number{};
  std::size_t all = 0;
  for (const StreakChange& change : story.result.changes) {
    if (change.change == Change::appeared) continue;
    ++number[static_cast<std::size_t>(change.change)];
    ++all;
  }
  if (all == 0) return {};
  std::string out;
  for (std::size_t i = 0; i < kChangeCount; ++i) {
    const auto kind = static_cast<Change>(i);
    if (number[i] == 0) continue;
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", number[i],
                       kind == Change::could_not_look ? "not to be judged" : to_string(kind));
  }
  return fmt::format("Of the streaks from before: {}.", out);
}

std::vector<std::string> steps_after_harm() {
  return {"Clean nothing more for now: the next scrape can take more jets.",
          "Run the machine's own head cleaning as its service documentation says: a jet that is only blocked "
          "comes back.",
          "Print the same page, scan it the same way and recheck against the scans from before.",
          "Jets that stay away: have trained staff look at the head before anybody cleans it again."};
}

}  // namespace scrapetrace::report
