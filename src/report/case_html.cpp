#include "report/case_html.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "report/base64.h"
#include "report/html_page.h"
#include "report/html_sections.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr std::string_view kCaseStyle = R"(
ol.records{list-style:none;padding:0}
ol.records>li{display:grid;grid-template-columns:9.5rem minmax(0,1fr);gap:.1rem 1rem;border-top:1px solid var(--rule);padding:.7rem 0;margin:0}
.when{color:var(--soft);font-size:.88rem}
.when time{display:block}
.what p{margin:0}
.what .stamp{font-weight:700}
.what .kept{color:var(--soft);font-size:.82rem;overflow-wrap:anywhere}
.what img{display:block;max-width:100%;height:auto;max-height:11rem;width:auto;border:1px solid var(--rule);margin:.5rem 0 .2rem}
@media (max-width:44rem){ol.records>li{grid-template-columns:minmax(0,1fr)}.when time{display:inline;margin-right:.6rem}}
@media print{.what img{max-height:45mm}ol.records>li{break-inside:avoid}}
)";

const char* kind_words(const std::string& kind) {
  if (kind == "scan") return "Scan";
  if (kind == "finding") return "Found";
  if (kind == "cleaned") return "Cleaned";
  if (kind == "recheck") return "Recheck";
  if (kind == "verdict") return "Verdict";
  return kind == "note" ? "Note" : "Record";
}

// The outcome of a recheck or verdict as stamped: "close", "cannot_judge".
std::string stamp(const CaseEntry& entry) {
  std::string out = entry.outcome == "close" ? "done" : entry.outcome;
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char c) { return static_cast<char>(c == '_' ? ' ' : std::toupper(c)); });
  return printable(out);
}

// "2025-03-01 14:05:09 UTC"; other text unchanged.
Markup time_of(const std::string& at) {
  std::string shown = printable(at);
  if (at.size() == 20 && at[10] == 'T' && at.back() == 'Z') {
    shown = at.substr(0, 10) + ' ' + at.substr(11, 8) + " UTC";
    return element("time", shown, {{"datetime", at}});
  }
  return words(shown);
}

Markup one_record(const CaseEntry& entry) {
  const Markup when = element("strong", fmt::format("{}. {}", entry.number, kind_words(entry.kind))) +
                      time_of(entry.at) + element("div", printable(entry.who));
  Markup what;
  if (!entry.outcome.empty()) what += element("p", stamp(entry), {{"class", "stamp"}});
  what += element("p", printable(entry.summary));
  if (!entry.picture.empty()) {
    what += Markup::trusted(
        fmt::format("<img alt=\"the scan of record {}, small\" src=\"data:image/png;base64,{}\">",
                    entry.number, base64(entry.picture)));
  }
  std::string kept;
  if (!entry.layout.empty()) kept += "layout " + printable(entry.layout) + "; ";
  if (!entry.tool_version.empty()) kept += "version " + printable(entry.tool_version) + "; ";
  what += element("p", words(kept + "hash ") + element("code", printable(entry.hash)), {{"class", "kept"}});
  return element("li", element("div", when, {{"class", "when"}}) + element("div", what, {{"class", "what"}}),
                 {{"id", fmt::format("record-{}", entry.number)}});
}

// The last record that states the unit's condition.
const CaseEntry* state_of(const std::vector<const CaseEntry*>& records) {
  const auto says = [](const CaseEntry* entry) {
    return entry->kind == "finding" || entry->kind == "recheck" || entry->kind == "verdict";
  };
  const auto last = std::find_if(records.rbegin(), records.rend(), says);
  return last == records.rend() ? nullptr : *last;
}

// Whether a cleaning has not been rechecked yet.
bool cleaned_since(const std::vector<const CaseEntry*>& records, const CaseEntry* state) {
  return std::any_of(records.begin(), records.end(), [&](const CaseEntry* entry) {
    return entry->kind == "cleaned" && (state == nullptr || entry->number > state->number);
  });
}

std::string state_words(const std::vector<const CaseEntry*>& records) {
  const CaseEntry* state = state_of(records);
  std::string out = state == nullptr ? "No finding yet." : printable(state->summary);
  if (cleaned_since(records, state)) out += " Cleaned since then, and not rechecked.";
  return out;
}

Markup one_unit(const std::string& name, const std::vector<const CaseEntry*>& records, std::size_t index) {
  Markup list;
  for (const CaseEntry* entry : records) list += one_record(*entry);
  const auto day = [](const std::string& at) { return printable(at.substr(0, 10)); };
  const Markup facts = fact("State", state_words(records)) +
                       fact("Records", fmt::format("{}, {} to {}", records.size(), day(records.front()->at),
                                                   day(records.back()->at)));
  return section(fmt::format("unit-{}", index), "Unit " + printable(name),
                 element("dl", facts, {{"class", "facts"}}) + element("ol", list, {{"class", "records"}}));
}

Markup chain_section(const CaseChain& chain) {
  Markup out;
  if (chain.broken > 0) {
    out = element("p",
                  fmt::format("BROKEN at record {}: {}. What follows from there on is not to be trusted.",
                              chain.broken, printable(chain.why)),
                  {{"class", "never"}});
  } else {
    out = element("p",
                  fmt::format("Whole when this page was written: each of the book's {} records carries the "
                              "hash of the one before.",
                              chain.records));
  }
  return section("chain", "The chain of hashes",
                 out +
                     element("p", words("The last hash is ") + element("code", printable(chain.last_hash)) +
                                      words(". Somebody who rewrites the whole book can make a new chain: "
                                            "keep this hash elsewhere, and check it with")) +
                     element("pre", element("code", "scrapetrace case verify --book FILE --expect " +
                                                        printable(chain.last_hash))));
}

std::string title_of(const std::vector<std::string>& units, std::size_t records) {
  const std::string many = fmt::format("{} record{}", records, records == 1 ? "" : "s");
  if (units.empty()) return "No record";
  if (units.size() == 1) return fmt::format("Unit {}: {}", printable(units.front()), many);
  return fmt::format("{} units, {}", units.size(), many);
}

}  // namespace

std::string case_html(const std::vector<CaseEntry>& entries, const CaseChain& chain,
                      std::string_view tool_version) {
  std::vector<std::string> units;  // by first record
  for (const CaseEntry& entry : entries) {
    if (std::find(units.begin(), units.end(), entry.unit) == units.end()) units.push_back(entry.unit);
  }
  HtmlPage page;
  page.title = title_of(units, entries.size());
  std::vector<std::pair<std::string, std::string>> links;
  for (std::size_t u = 0; u < units.size(); ++u) {
    std::vector<const CaseEntry*> records;
    for (const CaseEntry& entry : entries) {
      if (entry.unit == units[u]) records.push_back(&entry);
    }
    links.emplace_back(fmt::format("unit-{}", u + 1), printable(units[u]));
    page.main += one_unit(units[u], records, u + 1);
  }
  links.emplace_back("chain", "The chain of hashes");
  page.main += chain_section(chain);
  page.main += html_cautions();  // records name places to clean
  page.header =
      element("p", fmt::format("scrapetrace case, version {}", tool_version), {{"class", "kicker"}}) +
      element("h1", page.title);
  page.header += element("p", chain.broken > 0 ? "CHAIN BROKEN" : "CHAIN WHOLE", {{"class", "verdict"}});
  page.header += html_links(links);
  page.style = std::string(kCaseStyle);
  return html_page(page);
}

}  // namespace scrapetrace::report
