// The solution as keys of a layout, each with its interval or why it was kept.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "fit/find_outlier.h"
#include "fit/job.h"
#include "fit/to_columns.h"

namespace scrapetrace::fit {

namespace {

class Writer {
 public:
  Writer(const Layout& start, const Job& job, const Fitted& fitted, const LayoutFitOptions& options,
         LayoutFit& out)
      : start_(start),
        options_(options),
        job_(job),
        solution_(fitted.solution),
        scale_note_(fitted.scale_note),
        out_(out) {
    const auto noise = noise_of(solution_);
    out_.noise_from_residuals = noise.has_value();
    out_.noise = noise.value_or(1);
    out_.degrees_of_freedom = solution_.degrees_of_freedom;
    reach_ = quantile_95(out_.noise_from_residuals, out_.degrees_of_freedom) * out_.noise;
    out_.layout = start;
    out_.reference = start.heads[job.heads.front()].name;
  }

  void write(bool mirrored) {
    write_mirroring(mirrored);
    write_transfer();
    write_heads();
  }

 private:
  // `sigma` for unit noise; `shared` on top, whose own spread is known.
  void add(std::string key, double before, double after, double sigma, double shared, std::string note) {
    const double half = std::hypot(reach_ * sigma, quantile_95(false, 0) * shared);
    out_.keys.push_back({std::move(key), true, before, after, after - half, after + half, std::move(note)});
  }
  void keep(std::string key, double value, std::string note) {
    out_.keys.push_back({std::move(key), false, value, value, value, value, std::move(note)});
  }

  void write_mirroring(bool mirrored) {
    const double before = start_.transfer.mirrored ? 1 : 0;
    const double p = mirrored ? out_.mirrored_probability : 1 - out_.mirrored_probability;
    if (out_.mirroring_determined) {
      out_.keys.push_back({"transfer.mirrored", true, before, mirrored ? 1.0 : 0.0, mirrored ? 1.0 : 0.0,
                           mirrored ? 1.0 : 0.0, "probability " + fmt::format("{:.4f}", p)});
    } else {
      keep("transfer.mirrored", before,
           "kept: both ways explain the places (this one with probability " + fmt::format("{:.2f}", p) +
               "); take places that do not lie evenly: the same jets turned round must not fit as well");
    }
    out_.layout.transfer.mirrored = mirrored;
  }

  void write_transfer() {
    auto& transfer = out_.layout.transfer;
    const double a = solution_.slope;
    const auto& c = solution_.covariance;
    transfer.scale_cross = std::abs(a);
    if (solution_.slope_fitted) {
      add("transfer.scale_cross", start_.transfer.scale_cross, std::abs(a), std::sqrt(c(0, 0)),
          std::abs(a) * options_.shared_stretch_sigma, "");
    } else {
      keep("transfer.scale_cross", start_.transfer.scale_cross, scale_note_);
    }
    // L = -b / a
    const double b = solution_.intercept_mm;
    const Eigen::Vector2d gradient(b / (a * a), -1 / a);
    const double sigma = std::sqrt(std::max(0.0, gradient.dot(c.topLeftCorner<2, 2>() * gradient)));
    transfer.sheet_left_on_drum_mm = -b / a;
    add("transfer.sheet_left_on_drum_mm", start_.transfer.sheet_left_on_drum_mm, -b / a, sigma,
        options_.shared_shift_sigma_mm / std::abs(a),
        "with head \"" + out_.reference + "\" where the starting layout has it" +
            (solution_.slope_fitted ? "" : ", and the scale kept"));
  }

  [[nodiscard]] double sigma_of(std::size_t index) const {
    if (index == 0) return 0;
    const auto k = static_cast<Eigen::Index>(index) + 1;
    return std::sqrt(std::max(0.0, solution_.covariance(k, k)));
  }

  void write_heads() {
    std::vector<MovedHead> moved;
    for (std::size_t i = 0; i < job_.heads.size(); ++i)
      moved.push_back({job_.heads[i], solution_.moved_mm[i], sigma_of(i) * out_.noise});
    std::sort(moved.begin(), moved.end(),
              [](const MovedHead& a, const MovedHead& b) { return a.head < b.head; });
    auto columns = to_columns(start_, moved);
    write_carriages(columns);
    for (std::size_t h = 0; h < start_.heads.size(); ++h) write_head(h, columns);
    out_.heads = std::move(columns.heads);
  }

  void write_carriages(const Columns& columns) {
    const std::size_t reference = start_.heads[job_.heads.front()].carriage;
    for (std::size_t q = 0; q < start_.carriages.size(); ++q) {
      const Carriage& carriage = start_.carriages[q];
      const std::string key = "carriage \"" + carriage.name + "\": offset_mm";
      const auto found = std::find_if(columns.carriages.begin(), columns.carriages.end(),
                                      [&](const CarriageShift& each) { return each.carriage == q; });
      if (found == columns.carriages.end()) {
        keep(key, carriage.offset_mm, "kept: no place was known on any of its heads");
      } else if (q == reference) {
        keep(key, carriage.offset_mm,
             "kept: it carries the reference, head \"" + out_.reference +
                 "\"; only differences to it can show");
      } else {
        out_.layout.carriages[q].offset_mm += found->moved_mm;
        // sigma holds the noise already
        add(key, carriage.offset_mm, carriage.offset_mm + found->moved_mm, found->sigma_mm / out_.noise, 0,
            "against carriage \"" + start_.carriages[reference].name + "\"");
      }
    }
  }

  void write_head(std::size_t h, Columns& columns) {
    const Head& head = start_.heads[h];
    const std::string key = "head \"" + head.name + "\": first_jet_px";
    const auto found = std::find_if(columns.heads.begin(), columns.heads.end(),
                                    [&](const FittedHead& each) { return each.head == head.name; });
    if (found == columns.heads.end()) return keep(key, head.first_jet_px, "kept: no place was known on it");
    if (head.name == out_.reference) return keep(key, head.first_jet_px, "kept: it is the reference");
    const auto index =
        static_cast<std::size_t>(std::find(job_.heads.begin(), job_.heads.end(), h) - job_.heads.begin());
    const double reach = reach_ * sigma_of(index);
    found->low_mm = found->moved_mm - reach;
    found->high_mm = found->moved_mm + reach;
    const int after = head.first_jet_px + found->columns;
    out_.layout.heads[h].first_jet_px = after;
    const double columns_off = reach / start_.px_mm();
    out_.keys.push_back(
        {key, true, static_cast<double>(head.first_jet_px), static_cast<double>(after),
         std::floor(after - columns_off + 0.5), std::ceil(after + columns_off - 0.5),
         found->columns_sure ? "" : "may be a column off: the places do not tell a whole column"});
  }

  const Layout& start_;
  const LayoutFitOptions& options_;
  const Job& job_;
  const Solution& solution_;
  std::string scale_note_;
  LayoutFit& out_;
  double reach_ = 2;
};

}  // namespace

std::optional<double> noise_of(const Solution& solution) {
  if (solution.degrees_of_freedom < kLeastFreedom) return std::nullopt;
  return std::sqrt(solution.chi2 / solution.degrees_of_freedom);
}

void write_keys(const Layout& start, const Job& job, const Fitted& fitted, bool mirrored,
                const LayoutFitOptions& options, LayoutFit& out) {
  Writer(start, job, fitted, options, out).write(mirrored);
}

void write_places(const Job& job, const Fitted& fitted, const std::vector<KnownPlace>& places,
                  LayoutFit& out) {
  std::size_t used = 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    FittedPlace place{to_string(places[i]), 0, job.samples[i].sigma_mm, fitted.used[i], "", true};
    const Sample& sample = job.samples[i];
    place.residual_mm = sample.x_sheet_mm - fitted.solution.intercept_mm -
                        fitted.solution.slope * (sample.x_drum_mm + fitted.solution.moved_mm[sample.head]);
    if (place.used) place.checked = fitted.solution.leverage[used++] < 1 - 1e-9;
    out.places.push_back(std::move(place));
  }
}

}  // namespace scrapetrace::fit
