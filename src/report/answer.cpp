#include "report/answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr double kLikelierThanNot = 0.5;
constexpr double kWorthALook = 0.1;  // below, opening the machine costs more than another print
constexpr std::size_t kMostNamed = 3;

std::string name_of(const Target& target) {
  return place_name(target.head, target.side, target.surface);
}

// Targets that stand for different streaks are separate jobs; those that share one are rivals for it.
bool shares_streak(const Target& a, const Target& b) {
  return std::any_of(a.streaks.begin(), a.streaks.end(), [&](std::size_t id) {
    return std::find(b.streaks.begin(), b.streaks.end(), id) != b.streaks.end();
  });
}

std::vector<std::size_t> separate_jobs(const Findings& findings) {
  std::vector<std::size_t> jobs;
  for (std::size_t i = 0; i < findings.targets.size() && jobs.size() < kMostNamed; ++i) {
    if (findings.targets[i].probability < kLikelierThanNot) break;
    const bool rival = std::any_of(jobs.begin(), jobs.end(), [&](std::size_t job) {
      return shares_streak(findings.targets[job], findings.targets[i]);
    });
    if (!rival) jobs.push_back(i);
  }
  return jobs;
}

std::string clean_sentence(const Findings& findings, const std::vector<std::size_t>& jobs) {
  const Target& first = findings.targets[jobs.front()];
  std::string out = first.over_jets
                        ? fmt::format("Likeliest: {} ({}), but among the jets: never scrape there.",
                                      name_of(first), percent(first.probability))
                        : fmt::format("Clean {} first ({}).", name_of(first), percent(first.probability));
  for (std::size_t i = 1; i < jobs.size(); ++i) {
    const Target& next = findings.targets[jobs[i]];
    out += fmt::format(" Then {} ({}{}).", name_of(next), percent(next.probability),
                       next.over_jets ? ", among the jets: never scrape there" : "");
  }
  return out;
}

Answer choose(const Findings& findings) {
  const Target& first = findings.targets.front();
  Answer out{AnswerKind::choose, "", {0}};
  out.sentence = fmt::format("Look at {} first ({}): no target is likelier than not.", name_of(first),
                             percent(first.probability));
  if (findings.targets.size() > 1 && findings.targets[1].probability >= kWorthALook) {
    const Target& second = findings.targets[1];
    out.targets.push_back(1);
    if (second.head == first.head && second.side == first.side) {
      out.sentence = fmt::format("Look at head {}, {} side: {} ({}) or {} ({}).", printable(first.head),
                                 to_string(first.side), printable(first.surface), percent(first.probability),
                                 printable(second.surface), percent(second.probability));
      return out;
    }
    out.sentence =
        fmt::format("Look at {} ({}) and {} ({}) before cleaning either: the scans cannot decide.",
                    name_of(first), percent(first.probability), name_of(second), percent(second.probability));
  }
  return out;
}

std::string other_sentence(const Findings& findings) {
  const std::size_t n = findings.streaks.size();
  return fmt::format("No head to clean: {} found, {} another cause.",
                     n == 1 ? "1 streak" : fmt::format("{} streaks", n), n == 1 ? "with" : "each with");
}

}  // namespace

const char* to_string(AnswerKind kind) {
  switch (kind) {
    case AnswerKind::could_not_look:
      return "could_not_look";
    case AnswerKind::nothing_found:
      return "nothing_found";
    case AnswerKind::other_causes:
      return "other_causes";
    case AnswerKind::choose:
      return "choose";
    case AnswerKind::clean:
      break;
  }
  return "clean";
}

bool may_open_machine(const Answer& answer) {
  return answer.kind != AnswerKind::could_not_look && answer.kind != AnswerKind::nothing_found;
}

bool is_other(const Streak& streak) {
  const Cause cause = streak.likeliest();
  return cause != Cause::residue && cause != Cause::unknown;
}

bool beyond_layout(const Findings& findings) {
  return std::any_of(findings.streaks.begin(), findings.streaks.end(),
                     [](const Streak& streak) { return streak.beyond_layout; });
}

namespace {

Answer plain_answer(const Findings& findings) {
  if (!findings.any_scan_analysed()) {
    return {AnswerKind::could_not_look,
            "Could not look: no scan could be analysed. This says nothing about the heads.",
            {}};
  }
  const bool points = !findings.targets.empty() && findings.targets.front().probability >= kWorthALook;
  if (!points && !findings.looked()) {
    return {AnswerKind::could_not_look,
            fmt::format("Could not look: the scans show {} of the places where residue may sit. This says "
                        "nothing about the heads.",
                        little(findings.checked)),
            {}};
  }
  if (findings.streaks.empty() && findings.targets.empty()) {
    return {AnswerKind::nothing_found, "Nothing found: no streak in what the scans show.", {}};
  }
  if (!points) {
    if (beyond_layout(findings)) {
      return {
          AnswerKind::other_causes,
          "No head to clean yet: probably a contact that this layout's interleave does not explain. Check "
          "travel and the order of shift_px in the layout.",
          {}};
    }
    const bool all_known = std::all_of(findings.streaks.begin(), findings.streaks.end(), is_other);
    return {AnswerKind::other_causes,
            all_known ? other_sentence(findings)
                      : "No head to clean yet: the streaks found do not point at one. Print and scan again.",
            {}};
  }
  const auto jobs = separate_jobs(findings);
  if (jobs.empty()) return choose(findings);
  return {AnswerKind::clean, clean_sentence(findings, jobs), jobs};
}

}  // namespace

Answer answer(const Findings& findings) {
  Answer out = plain_answer(findings);
  if (findings.layout_unproved())
    out.sentence = "The layout is unproved: another machine may have printed the sheet. " + out.sentence;
  return out;
}

}  // namespace scrapetrace::report
