// Reports that show pictures: these are encoded here, so that src/report stays without src/scan.

#include <utility>

#include "report/accept_html.h"
#include "report/locate_html.h"
#include "report/recheck_html.h"
#include "scrapetrace/measure.h"
#include "scrapetrace/recheck_scans.h"
#include "scrapetrace/report.h"
#include "workflow/pictures.h"

namespace scrapetrace::report {

namespace {

// About the text's width on a desk, so that lettering keeps its size.
constexpr double kDrawingWidth_px = 860;

std::vector<ShownStreak> shown_streaks(const LocateResult& result) {
  std::vector<ShownStreak> out;
  for (const StreakEvidence& evidence : result.evidence) {
    ShownStreak shown{evidence.profiles, std::nullopt, 0};
    if (evidence.crop) {
      shown.crop = workflow::encode({evidence.crop->picture}).front();
      shown.crop_scan = evidence.crop->scan;
    }
    out.push_back(std::move(shown));
  }
  return out;
}

HtmlReport html_report(const Chart* chart, const LocateResult& result, const Provenance& provenance,
                       LengthUnit unit) {
  HtmlReport page;
  page.pages = workflow::encode(result.thumbnails);
  page.streaks = shown_streaks(result);
  page.picture.width_px = kDrawingWidth_px;
  page.picture.unit = unit;
  if (chart != nullptr) page.picture.sheet_mm = chart->sheet_mm;
  page.provenance = provenance;
  return page;
}

std::vector<ShownPlace> shown_places(std::vector<PlaceView> views) {
  std::vector<ShownPlace> out;
  for (PlaceView& seen : views) {
    ShownPlace shown;
    if (seen.crop) shown.crop = workflow::encode({seen.crop->picture}).front();
    shown.x_drum_mm = std::move(seen.x_drum_mm);
    shown.loss = std::move(seen.loss);
    out.push_back(std::move(shown));
  }
  return out;
}

}  // namespace

std::string locate_html(const Layout& layout, const Chart* chart, const LocateResult& result,
                        const Provenance& provenance, LengthUnit unit) {
  return locate_html(layout, result.findings, html_report(chart, result, provenance, unit));
}

std::string locate_svg(const Layout& layout, const Chart* chart, const LocateResult& result,
                       const Origin& origin, LengthUnit unit) {
  PictureOptions options;
  options.origin = origin_sentence(origin);
  options.unit = unit;
  if (chart != nullptr) options.sheet_mm = chart->sheet_mm;
  return picture_svg(layout, result.findings, workflow::encode(result.thumbnails), options);
}

std::string recheck_html(const RecheckStory& story, const Chart* chart, const LocatedScans& before,
                         const LocatedScans& after, const LocateOptions& options,
                         const Provenance& provenance) {
  const auto places = places_of(story.layout, story.evidence, story.result);
  const auto views = [&](const LocatedScans& on) {
    return shown_places(view_places(story.layout, chart, on.scans, places, options));
  };
  RecheckPages pages;
  pages.before = workflow::encode(before.result.thumbnails);
  pages.after = workflow::encode(after.result.thumbnails);
  pages.places_before = views(before);
  pages.places_after = views(after);
  if (chart != nullptr) pages.sheet_mm = chart->sheet_mm;
  pages.width_px = kDrawingWidth_px;
  pages.provenance = provenance;
  return recheck_html(story, pages);
}

std::string accept_html(const AcceptStory& story, const Chart* chart, const LocateResult& result,
                        const Provenance& provenance) {
  return accept_html(story, html_report(chart, result, provenance, story.unit));
}

}  // namespace scrapetrace::report
