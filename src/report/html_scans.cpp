// What the answer does not cover, how the scans were registered, and how to reproduce the result.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

#include "report/glossary.h"
#include "report/html_sections.h"
#include "report/phrases.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

Markup placed(const Registration& r, LengthUnit unit) {
  Markup facts =
      fact("Placed by", fmt::format("{}, {} points, {} apart from the fit{}", datum_words(r.datum), r.marks,
                                    length(r.residual_mm, 3, unit), moved_by_jets(r, unit)));
  facts += fact("Error to expect", length(r.predicted_error_mm, 2, unit) + " on the drum");
  facts += fact("Resolution", fmt::format("{} dpi (from {})", decimals(r.dpi, 1), printable(r.dpi_source)));
  facts += fact("Way round", fmt::format("turned by {} deg{}, skew {} deg", r.turn_deg,
                                         r.face_mirrored ? ", mirrored" : "", decimals(r.skew_deg, 2)));
  facts += fact("Scale", fmt::format("{} across, {} along", decimals(r.scale_x, 4), decimals(r.scale_y, 4)));
  return facts;
}

Markup one_scan(const ScanReport& scan, std::size_t index, LengthUnit unit) {
  Markup facts = fact("Verdict", scan.analysed() ? to_string(scan.verdict) : "could not be analysed");
  for (const auto& reason : scan.reasons) facts += fact("Remark", sentence_in(printable(reason), unit));
  for (const auto& note : scan.notes) facts += fact("Note", sentence_in(printable(note), unit));
  facts += fact("Size", fmt::format("{} x {} px", scan.width_px, scan.height_px));
  if (scan.registration) {
    facts += placed(*scan.registration, unit);
    facts += fact("Finest streak",
                  fmt::format("{} wide, if it takes all ink", length(scan.finest_streak_mm, 2, unit)));
  }
  return element("article", element("h3", fmt::format("Scan {}: {}", index + 1, printable(scan.file))) +
                                element("dl", facts, {{"class", "facts"}}));
}

// Text outside tags, in lower case. Pictures, which are most of a page, are inside tags.
std::string text_of(const std::string& html) {
  std::string out;
  for (std::size_t at = 0; at < html.size();) {
    const std::size_t tag = std::min(html.find('<', at), html.size());
    for (; at < tag; ++at) out += static_cast<char>(std::tolower(static_cast<unsigned char>(html[at])));
    out += ' ';
    at = std::min(html.find('>', tag), html.size() - 1) + 1;
  }
  return out;
}

// As a whole word or its plural.
bool mentions(const std::string& page, std::string_view term) {
  const auto letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
  for (auto at = page.begin();; ++at) {
    at = std::search(at, page.end(), term.begin(), term.end());
    if (at == page.end()) return false;
    auto after = at + static_cast<std::ptrdiff_t>(term.size());
    if (after != page.end() && *after == 's') ++after;
    if ((at == page.begin() || !letter(*(at - 1))) && (after == page.end() || !letter(*after))) return true;
  }
}

Markup pairs(const std::vector<std::pair<std::string, std::string>>& list) {
  Markup out;
  for (const auto& [name, value] : list) out += fact(name, value);
  return element("dl", out, {{"class", "facts"}});
}

}  // namespace

Markup html_unchecked(const Findings& findings, LengthUnit unit) {
  if (findings.unchecked.empty()) return {};
  Markup list;
  for (const Unchecked& gap : findings.unchecked) {
    list += element(
        "li", fmt::format("X {} to {}: {}. Targets: {}.", length_value(gap.x_drum_mm.from_mm, 1, unit),
                          length(gap.x_drum_mm.to_mm, 1, unit), sentence_in(printable(gap.reason), unit),
                          targets_in(gap)));
  }
  return section("unchecked", "Not checked",
                 element("p", "These places stay unknown; nothing here says that they are clean.") +
                     element("ul", list));
}

Markup html_scans(const Findings& findings, LengthUnit unit, std::string_view id, std::string_view heading) {
  Markup out;
  for (std::size_t i = 0; i < findings.scans.size(); ++i) out += one_scan(findings.scans[i], i, unit);
  return section(id, heading, out);
}

Markup html_glossary(const Markup& page) {
  Markup list;
  const std::string text = text_of(page.html());
  for (const Term& term : glossary()) {
    if (mentions(text, term.name)) list += fact(term.name, term.meaning);
  }
  if (list.empty()) return {};
  return section("words", "Words", element("dl", list, {{"class", "words"}}));
}

Markup html_provenance(const Provenance& provenance) {
  static constexpr std::array<std::string_view, 3> kColumns{"File", "Name", "SHA-256"};
  Markup rows;
  for (const InputFile& file : provenance.files) {
    rows += element("tr", element("td", file.role, {{"class", "role"}}) + element("td", file.name) +
                              element("td", file.sha256.empty() ? "could not be read" : file.sha256,
                                      {{"class", "hash"}}));
  }
  Markup out = element("p", "The same files, settings and versions give the same findings.");
  if (!provenance.command.empty()) out += element("pre", element("code", provenance.command));
  if (!provenance.files.empty()) out += headed_table(kColumns, rows);
  if (!provenance.settings.empty()) out += element("h3", "Settings") + pairs(provenance.settings);
  std::string versions;
  for (const auto& [name, version] : provenance.versions)
    versions += fmt::format("{}{} {}", versions.empty() ? "" : ", ", name, version);
  if (!versions.empty()) out += element("h3", "Versions") + element("p", versions + ".");
  return section("repeat", "To repeat this", out);
}

}  // namespace scrapetrace::report
