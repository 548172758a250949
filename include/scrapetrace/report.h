#pragma once
// Results for people (text, a page of HTML, a drawing) and for programs (JSON). Texts have at most 100
// columns, their own words are ASCII. A page is one file that needs no network and runs no script. JSON
// (docs/locate-json.md, recheck.md, accept.md, layout-fit.md) is UTF-8 whatever the names hold, in
// millimetres, with a newline at its end. The same arguments give the same bytes.

#include <string>
#include <string_view>
#include <vector>

#include "scrapetrace/accept.h"
#include "scrapetrace/layout_description.h"
#include "scrapetrace/layout_fit.h"
#include "scrapetrace/length_unit.h"
#include "scrapetrace/located_scans.h"
#include "scrapetrace/provenance.h"
#include "scrapetrace/recheck.h"

namespace scrapetrace::report {

// locate(). `chart` may be null, below as well: then no sheet's outline is drawn. Pages and drawings show
// what the result holds: `thumbnails` the sheets, `evidence` the streaks (LocateOptions). These become PNG,
// by libvips.
std::string locate_text(const Layout& layout, const Findings& findings, LengthUnit unit = LengthUnit::mm);
std::string locate_json(const Layout& layout, const Findings& findings, const Origin& origin);
std::string locate_html(const Layout& layout, const Chart* chart, const LocateResult& result,
                        const Provenance& provenance = {}, LengthUnit unit = LengthUnit::mm);
// One annotated picture, SVG 1.1: the sheet with its streaks, the heads below it to the same scale.
std::string locate_svg(const Layout& layout, const Chart* chart, const LocateResult& result,
                       const Origin& origin, LengthUnit unit = LengthUnit::mm);

// All that recheck() weighed and found.
struct RecheckStory {
  const Layout& layout;
  const RecheckEvidence& evidence;
  const std::vector<Cleaned>& cleaned;
  const RecheckOptions& options;
  const Recheck& result;
  LengthUnit unit = LengthUnit::mm;  // of text and page
};
std::string recheck_text(const RecheckStory& story);
std::string recheck_json(const RecheckStory& story, const Origin& origin);
// Shows each streak's place on the scans before and after; `options` are those of the findings.
std::string recheck_html(const RecheckStory& story, const Chart* chart, const LocatedScans& before,
                         const LocatedScans& after, const LocateOptions& options,
                         const Provenance& provenance = {});

// All that a verdict rests on.
struct AcceptStory {
  const Layout& layout;
  const Findings& findings;
  const Limits& limits;
  const Acceptance& result;
  LengthUnit unit = LengthUnit::mm;  // of text and page
  const std::vector<JetChange>* jets =
      nullptr;  // since the scans from before the work; null: none were given
};
std::string accept_text(const AcceptStory& story);
std::string accept_json(const AcceptStory& story, const Origin& origin);
std::string accept_html(const AcceptStory& story, const Chart* chart, const LocateResult& result,
                        const Provenance& provenance = {});

std::string fit_text(const LayoutFit& fit);
std::string fit_json(const LayoutFit& fit, std::string_view tool_version);
std::string fit_html(const LayoutFit& fit, const Provenance& provenance);
// Above the layout that fits, as its comment (write_layout()).
std::string fit_remark(const LayoutFit& fit);

// A layout and what it amounts to, for a person who checks it against the machine: `description` is
// describe_layout(layout).
std::string layout_text(const Layout& layout, const LayoutDescription& description);

}  // namespace scrapetrace::report
