#include "report/answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr double kLikelierThanNot = 0.5;
constexpr double kWorthALook = 0.1;  // below, opening the machine costs more than another print
constexpr std::size_t kMostNamed = 3;

std::string name_of(const Target& target) {
  return place_name(target.head, target.side, target.surface);
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

// "head 3, left side, faceplate (82 %)", with a warning when it must not be scraped.
std::string with_chance(const Target& target) {
  const auto note = jets_note(target);
  return fmt::format("{} ({}{}{})", name_of(target), percent(target.probability), note.empty() ? "" : ", ",
                     note);
}

// A warning for a place that must not be scraped, and where to look if its alternative does not help.
std::string never_sentence(const Findings& findings, const Target& first, std::optional<std::size_t> next) {
  std::string out = fmt::format("Likeliest: {} ({}), but among the jets: never scrape there.", name_of(first),
                                percent(first.probability));
  if (next) {
    out += fmt::format(" If the machine's own head cleaning does not help, look at {}.",
                       with_chance(findings.targets[*next]));
  }
  return out;
}

// The likeliest rival of a place, if it may be touched.
std::optional<std::size_t> rival_to_look_at(const Findings& findings, std::size_t job) {
  for (std::size_t i = 0; i < findings.targets.size(); ++i) {
    const Target& other = findings.targets[i];
    if (i != job && other.probability >= kWorthALook && !other.never_scrape() &&
        shares_streak(findings.targets[job], other))
      return i;
  }
  return std::nullopt;
}

Answer clean(const Findings& findings, std::vector<std::size_t> jobs) {
  const Target& first = findings.targets[jobs.front()];
  Answer out{AnswerKind::clean, "", {jobs.front()}};
  if (first.never_scrape()) {
    const auto rival = rival_to_look_at(findings, jobs.front());
    out.sentence = never_sentence(findings, first, rival);
    if (rival) out.targets.push_back(*rival);
  } else {
    out.sentence = fmt::format("Clean {} first ({}){}.", name_of(first), percent(first.probability),
                               first.over_jets ? ", " + jets_note(first) : "");
  }
  for (std::size_t i = 1; i < jobs.size(); ++i) {
    out.sentence += fmt::format(" Then {}.", with_chance(findings.targets[jobs[i]]));
    out.targets.push_back(jobs[i]);
  }
  return out;
}

Answer choose(const Findings& findings) {
  const Target& first = findings.targets.front();
  Answer out{AnswerKind::choose, "", {0}};
  const bool second_too = findings.targets.size() > 1 && findings.targets[1].probability >= kWorthALook;
  if (second_too) out.targets.push_back(1);
  if (first.never_scrape()) {
    const bool look = second_too && !findings.targets[1].never_scrape();
    if (!look) out.targets = {0};
    out.sentence = never_sentence(findings, first, look ? std::optional<std::size_t>(1) : std::nullopt);
    return out;
  }
  if (!second_too) {
    out.sentence = fmt::format("Look at {} first ({}): no target is likelier than not{}.", name_of(first),
                               percent(first.probability), first.over_jets ? "; " + jets_note(first) : "");
    return out;
  }
  const Target& second = findings.targets[1];
  const bool noted = first.over_jets || second.over_jets;
  if (second.head == first.head && second.side == first.side && !noted) {
    out.sentence = fmt::format("Look at head {}, {} side: {} ({}) or {} ({}).", printable(first.head),
                               to_string(first.side), printable(first.surface), percent(first.probability),
                               printable(second.surface), percent(second.probability));
    return out;
  }
  out.sentence = fmt::format("Look at {} and {} before cleaning either: the scans cannot decide.",
                             with_chance(first), with_chance(second));
  return out;
}

std::string other_sentence(const Findings& findings) {
  const auto n = std::count_if(findings.streaks.begin(), findings.streaks.end(), [&](const Streak& streak) {
    return findings.counts(streak) || streak.likeliest() == Cause::scanner_line;
  });
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
    case AnswerKind::too_faint:
      return "too_faint";
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
  return answer.kind != AnswerKind::could_not_look && answer.kind != AnswerKind::nothing_found &&
         answer.kind != AnswerKind::too_faint;
}

bool shares_streak(const Target& a, const Target& b) {
  return std::any_of(a.streaks.begin(), a.streaks.end(), [&](std::size_t id) {
    return std::find(b.streaks.begin(), b.streaks.end(), id) != b.streaks.end();
  });
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
  // A scanner line is not visible on the print, but it is a finding.
  const bool seen = std::any_of(findings.streaks.begin(), findings.streaks.end(), [&](const Streak& streak) {
    return findings.counts(streak) || streak.likeliest() == Cause::scanner_line;
  });
  if (!seen && findings.targets.empty()) {
    const std::size_t n = findings.streaks.size();
    return {AnswerKind::too_faint,
            fmt::format("Nothing to clean: {} found, too faint to see. Print again later and compare.",
                        n == 1 ? "1 trace" : fmt::format("{} traces", n)),
            {}};
  }
  if (!points) {
    if (beyond_layout(findings)) {
      return {
          AnswerKind::other_causes,
          "No head to clean yet: probably a contact that this layout's interleave does not explain. Check "
          "travel and the order of shift_px in the layout.",
          {}};
    }
    const bool all_known =
        std::all_of(findings.streaks.begin(), findings.streaks.end(),
                    [&](const Streak& streak) { return is_other(streak) || !findings.counts(streak); });
    return {AnswerKind::other_causes,
            all_known ? other_sentence(findings)
                      : "No head to clean yet: the streaks found do not point at one. Print and scan again.",
            {}};
  }
  const auto jobs = separate_jobs(findings);
  if (jobs.empty()) return choose(findings);
  return clean(findings, jobs);
}

}  // namespace

Answer answer(const Findings& findings) {
  Answer out = plain_answer(findings);
  if (findings.layout_unproved())
    out.sentence = "The layout is unproved: another machine may have printed the sheet. " + out.sentence;
  return out;
}

}  // namespace scrapetrace::report
