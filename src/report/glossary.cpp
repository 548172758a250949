#include "report/glossary.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace scrapetrace::report {

namespace {

constexpr std::array kTerms{
    Term{"blade haze",
         "Ink that gets past the drum's cleaning blade and is printed again: a wide, dark, soft streak that "
         "shows "
         "on bare paper too. It belongs to the blade, not to a head.",
         "haze, blade"},
    Term{"carriage",
         "What one or more heads are mounted on. It stands at one place around the drum and moves a little "
         "across "
         "it after every pass."},
    Term{"chart",
         "A file that says what was printed where on the sheet, so that a scan can be placed exactly."},
    Term{"comb",
         "The thin parallel lines that one dead jet leaves, one per pass. Residue leaves no comb: it takes "
         "every "
         "ink and its edges fade."},
    Term{"cross-process direction",
         "Across the sheet, at right angles to the way it travels. Heads stand side by side in it.",
         "across"},
    Term{
        "datum",
        "What the sheet was placed by on the scan. The printed patches' edges are best; the sheet's own edge "
        "stands one to three millimetres anywhere."},
    Term{"dead jet",
         "A jet that fires no ink, or too little (weak). One ink, one head; cured by the machine's own jet "
         "cleaning, never by scraping.",
         "weak jet, missing jet"},
    Term{"downstream",
         "On the side that the drum's surface reaches after the jets: residue there touches the ink that its "
         "own "
         "head has just laid."},
    Term{
        "drum",
        "The rotating cylinder on which the page is built up in several passes before it is pressed onto the "
        "sheet."},
    Term{"drum scratch",
         "Damage in the drum's surface: ink is lost in the same place in every ink, with hard edges. No head "
         "will "
         "mend it.",
         "scratch"},
    Term{"effort", "The minutes that a layout allows for reaching and cleaning a place."},
    Term{"faceplate", "The flat front of a head, with the rows of jets in it. No metal on it, ever.", "face"},
    Term{"head", "A row of jets in one housing. Its sides are named as stencilled on it.", "printhead"},
    Term{"insulation", "The padding beside a head's faceplate that keeps its heat in."},
    Term{
        "interleave",
        "A head's jets stand several columns apart; the carriage's steps from pass to pass let them fill the "
        "columns between. Which jet prints which column follows from it.",
        "interlace"},
    Term{"jet", "One opening of a head, from which drops are fired.", "nozzle"},
    Term{"layout",
         "A file that describes a machine: drum, inks, carriages, heads, and where residue may sit."},
    Term{"lead edge", "The edge of the sheet that leaves the machine first. Reports show it at the top."},
    Term{"loss", "The part of the ink that is missing: 0 is none, 1 or 100 % all of it."},
    Term{"pass", "One revolution of the drum while the heads print."},
    Term{"process direction", "Along the sheet, the way it travels. Streaks run in it.", "along"},
    Term{"registration",
         "Finding where the sheet lies on the scan: resolution, turn, skew, mirroring and stretch, and how "
         "sure "
         "that is."},
    Term{"residue",
         "A bit of cured sealant or ink that stands proud of a head's faceplate or of the insulation beside "
         "it. It "
         "touches the drum and scrapes ink off: a streak in every ink that was laid before.",
         "crumb"},
    Term{"rival", "Another place that can have drawn the same streak, with its own probability."},
    Term{"scanner line",
         "A line that dust in the scanner draws. It is not on the print: it keeps its place on the scan when "
         "the "
         "sheet is turned.",
         "scanner dust"},
    Term{"seam",
         "Where the columns of one head end and those of its neighbour begin. Where their ink does not meet "
         "as "
         "the layout says, a pale line (a gap) or a dark one (an overlap) shows there: a seam mismatch.",
         "stitch"},
    Term{"skew", "How far the sheet lies turned on the scanner."},
    Term{"stencilled side",
         "Left or right as written on the head itself. A head that is mounted the other way round has its "
         "left on "
         "the drum's right.",
         "stencilled, side"},
    Term{"streak", "A strip along the sheet where ink is missing or added."},
    Term{"target", "A place to clean: a head, a stencilled side, a surface.", "place"},
    Term{"travel", "How far and which way a carriage moves across the drum from pass to pass."},
    Term{
        "unchecked",
        "What no scan could show, because nothing was printed there or it was cut off. It is not known to be "
        "clean.",
        "not checked"},
    Term{"upstream",
         "On the side that the drum's surface passes before it reaches the jets: residue there touches the "
         "ink of "
         "earlier passes and of carriages before it, not the drops that its own head is about to lay."},
    Term{"zone", "Part of a head's surroundings where residue may sit, as the layout describes it."},
};

std::string lowered(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return out;
}

std::vector<std::string> names_of(const Term& term) {
  std::vector<std::string> out{std::string(term.name)};
  std::string_view rest = term.also;
  while (!rest.empty()) {
    const auto end = rest.find(", ");
    out.emplace_back(rest.substr(0, end));
    rest = end == std::string_view::npos ? "" : rest.substr(end + 2);
  }
  return out;
}

}  // namespace

std::span<const Term> glossary() {
  return kTerms;
}

const Term* find_term(std::string_view word) {
  const std::string wanted = lowered(word);
  for (const Term& term : kTerms) {
    const auto names = names_of(term);
    if (std::find(names.begin(), names.end(), wanted) != names.end()) return &term;
  }
  return nullptr;
}

std::vector<std::string> known_terms() {
  std::vector<std::string> out;
  for (const Term& term : kTerms) {
    for (auto& name : names_of(term)) out.push_back(std::move(name));
  }
  return out;
}

}  // namespace scrapetrace::report
