// W m, and W^T N^-1 y: views are summed up by what they show of the inks, whole stretches of samples at a
// time, before jets and knots are looked at.

#include <algorithm>
#include <cmath>

#include "base/wide.h"
#include "diagnose/page_samples.h"

namespace scrapetrace::diagnose {

namespace {

SCRAPETRACE_WIDE void add_weighed(const double* precision, double share, const double* y, std::size_t count,
                                  double* out) {
  for (std::size_t i = 0; i < count; ++i) out[i] += precision[i] * share * y[i];
}

SCRAPETRACE_WIDE void add_shown(double share, const double* x, std::size_t count, double* out) {
  for (std::size_t i = 0; i < count; ++i) out[i] += share * x[i];
}

// Nought where a sample does not count.
SCRAPETRACE_WIDE void keep_counted(const double* precision, std::size_t count, double* out) {
  for (std::size_t i = 0; i < count; ++i) out[i] = precision[i] > 0 ? out[i] : 0;
}

}  // namespace

BySample PageSamples::of_unknowns(const std::vector<double>& m, int threads) const {
  BySample out = zeros();
  for (std::size_t s = 0; s < seen_.size(); ++s) {
    const Scan& scan = seen_[s];
    for_each_stretch(scan.extents.size(), kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
      const std::size_t count = to - from;
      std::vector<double> of_jets(inks_ * count, 0.0);  // by ink and sample
      for (std::size_t i = from; i < to; ++i) {
        for (const PageUnknowns::SeenJet& jet : unknowns_.jets_seen(s, i)) {
          for (std::size_t ink = 0; ink < inks_; ++ink)
            of_jets[ink * count + i - from] += jet.weight * m[jet.first + ink];
        }
      }
      std::vector<double> lost(count);  // of one ink, by jets and mottle
      for (const Patch& patch : scan.patches) {
        for (std::size_t a = 0; a < patch.inks.size(); ++a) {
          const ShownInk& shown = patch.inks[a];
          std::copy_n(of_jets.data() + shown.ink * count, count, lost.data());
          for (std::size_t i = from; i < to && shown.knots != nullptr; ++i) {
            const BetweenKnots& at = between(s, i, shown);
            lost[i - from] += (1 - at.right_part) * m[at.left] + at.right_part * m[at.right];
          }
          for (const View& view : patch.views)
            add_shown(view.share[a], lost.data(), count, out[s][view.number].data() + from);
        }
        for (const View& view : patch.views)
          keep_counted(view.precision.data() + from, count, out[s][view.number].data() + from);
      }
      add_steps(s, {from, to}, m, out[s]);
    });
  }
  return out;
}

void PageSamples::add_steps(std::size_t s, Range samples, const std::vector<double>& m,
                            std::vector<std::vector<double>>& out) const {
  for (std::size_t i = samples.from; i < samples.to; ++i) {
    if (!seen_[s].extents[i].steps) continue;
    for (std::size_t view = 0; view < out.size(); ++view) {
      if (!counts(s, view, i)) continue;
      const SeenStep step = step_seen(s, view, i);
      for (std::size_t k = 0; step.unknowns != nullptr && k < step.part.size(); ++k)
        out[view][i] += step.part[k] * m[(*step.unknowns)[k]];
    }
  }
}

std::vector<double> PageSamples::to_unknowns(const BySample& y, int threads) const {
  std::vector<double> out(unknowns_.size(), 0.0);
  for (std::size_t s = 0; s < seen_.size(); ++s) {
    const ByInk lost = weigh(s, y[s], threads);
    carry(s, {{0, &lost, {0, seen_[s].extents.size()}, {}}}, 1, out, threads);
  }
  return out;
}

PageSamples::ByInk PageSamples::noughts(std::size_t s) const {
  const std::vector<double> none(seen_[s].extents.size(), 0.0);
  return {std::vector(seen_[s].places, none), std::vector(inks_, none), {}};
}

PageSamples::ByInk PageSamples::weigh(std::size_t s, const std::vector<std::vector<double>>& y,
                                      int threads) const {
  const Scan& scan = seen_[s];
  ByInk out = noughts(s);
  for_each_stretch(scan.extents.size(), kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
    for (const Patch& patch : scan.patches) {
      for (std::size_t a = 0; a < patch.inks.size(); ++a) {
        double* const own = out.of_patches[patch.inks[a].place].data() + from;
        for (const View& view : patch.views) {
          add_weighed(view.precision.data() + from, view.share[a], y[view.number].data() + from, to - from,
                      own);
        }
        add_shown(1, own, to - from, out.together[patch.inks[a].ink].data() + from);
      }
    }
  });
  weigh_steps(s, out, [&](std::size_t view, std::size_t i) { return y[view][i]; });
  return out;
}

PageSamples::ByInk PageSamples::weigh_inks(std::size_t s, const std::vector<std::vector<double>>& x,
                                           int threads) const {
  const Scan& scan = seen_[s];
  ByInk out = noughts(s);
  for_each_stretch(scan.extents.size(), kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
    // Of what is weighed alike.
    for (std::size_t end = from; from < to; from = end) {
      while (end < to && scan.stretch[end] == scan.stretch[from]) ++end;
      const Stretch& stretch = scan.stretches[scan.stretch[from]];
      for (std::size_t b = 0; b < inks_; ++b) {
        for (std::size_t place = 0; place < scan.places; ++place)
          add_shown(stretch.weight[place * inks_ + b], x[b].data() + from, end - from,
                    out.of_patches[place].data() + from);
        for (std::size_t a = 0; a < inks_; ++a)
          add_shown(stretch.together[a * inks_ + b], x[b].data() + from, end - from,
                    out.together[a].data() + from);
      }
    }
  });
  weigh_steps(s, out, [&](std::size_t view, std::size_t i) {
    double shown = 0;
    for (std::size_t ink = 0; ink < inks_; ++ink) {
      const double share = scans_[s].patches[view].share[ink];
      if (std::abs(share) >= kFaintestShare) shown += share * x[ink][i];
    }
    return shown;
  });
  return out;
}

template <class Value>
void PageSamples::weigh_steps(std::size_t s, ByInk& out, const Value& value) const {
  for (std::size_t i = 0; i < seen_[s].extents.size(); ++i) {
    if (!seen_[s].extents[i].steps) continue;
    for (std::size_t view = 0; view < scans_[s].patches.size(); ++view) {
      if (!counts(s, view, i)) continue;
      const SeenStep step = step_seen(s, view, i);
      const double weighed = value(view, i) / scans_[s].patches[view].variance[i];
      for (std::size_t k = 0; step.unknowns != nullptr && k < step.part.size(); ++k)
        out.steps.push_back({i, (*step.unknowns)[k], step.part[k] * weighed});
    }
  }
}

// Every knot belongs to one ink of one patch, so that these may go side by side; jets are gone through once.
void PageSamples::carry(std::size_t s, const std::vector<Column>& columns, std::size_t width,
                        std::vector<double>& out, int threads) const {
  std::vector<const ShownInk*> inks{nullptr};  // none: the jets and steps
  for (const Patch& patch : seen_[s].patches) {
    for (const ShownInk& shown : patch.inks) {
      if (shown.knots != nullptr) inks.push_back(&shown);
    }
  }
  for_each_part(inks.size() * columns.size(), threads, [&](std::size_t part) {
    const Column& column = columns[part / inks.size()];
    const ShownInk* const shown = inks[part % inks.size()];
    double* const to = out.data() + column.number;
    if (shown != nullptr) return carry_knots(s, *shown, column, width, to);
    carry_jets(s, column, width, to);
    for (const ByInk::Step& step : column.lost->steps) {
      if (step.sample >= column.samples.from && step.sample < column.samples.to)
        to[step.unknown * width] += column.factor(step.sample) * step.value;
    }
  });
}

void PageSamples::carry_jets(std::size_t s, const Column& column, std::size_t width, double* out) const {
  for (std::size_t i = column.samples.from; i < column.samples.to; ++i) {
    const double factor = column.factor(i);
    for (const PageUnknowns::SeenJet& jet : unknowns_.jets_seen(s, i)) {
      for (std::size_t ink = 0; ink < inks_; ++ink)
        out[(jet.first + ink) * width] += factor * jet.weight * column.lost->together[ink][i];
    }
  }
}

void PageSamples::carry_knots(std::size_t s, const ShownInk& shown, const Column& column, std::size_t width,
                              double* out) const {
  const std::vector<double>& lost = column.lost->of_patches[shown.place];
  std::size_t i = column.samples.from;
  while (i < column.samples.to) {
    const BetweenKnots knots = between(s, i, shown);
    double left = 0;
    double right = 0;
    for (; i < column.samples.to && between(s, i, shown).left == knots.left; ++i) {
      const double value = column.factor(i) * lost[i];
      const double part = between(s, i, shown).right_part;
      left += (1 - part) * value;
      right += part * value;
    }
    out[knots.left * width] += left;
    out[knots.right * width] += right;
  }
}

double PageSamples::carry_loss(std::size_t s, std::size_t first, const std::vector<double>& parts,
                               std::optional<std::size_t> ink, std::size_t from,
                               std::vector<double>& out) const {
  const Scan& scan = seen_[s];
  double squares = 0;
  std::vector<double> together(inks_);
  for (std::size_t i = first; i < first + parts.size(); ++i) {
    const double part = parts[i - first];
    if (part == 0 || scan.extents[i].none()) continue;
    const Loss& loss = scan.stretches[scan.stretch[i]].losses[ink ? 1 + *ink : 0];
    squares += part * part * loss.square;
    std::fill(together.begin(), together.end(), 0.0);
    for (const Patch& patch : scan.patches) {
      for (const ShownInk& shown : patch.inks) {
        const double own = part * loss.shared[shown.place];
        together[shown.ink] += own;
        if (shown.knots == nullptr || own == 0) continue;
        const BetweenKnots& knots = between(s, i, shown);
        out[knots.left - from] += (1 - knots.right_part) * own;
        out[knots.right - from] += knots.right_part * own;
      }
      for (const View& view : patch.views) {
        if (!scan.extents[i].steps || view.precision[i] == 0) continue;
        const SeenStep step = step_seen(s, view.number, i);
        const double shown = view.precision[i] * part * share_of(scans_[s].patches[view.number], ink);
        for (std::size_t k = 0; step.unknowns != nullptr && k < step.part.size(); ++k)
          out[(*step.unknowns)[k] - from] += step.part[k] * shown;
      }
    }
    for (const PageUnknowns::SeenJet& jet : unknowns_.jets_seen(s, i)) {
      for (std::size_t a = 0; a < inks_; ++a) out[jet.first + a - from] += jet.weight * together[a];
    }
  }
  return squares;
}

}  // namespace scrapetrace::diagnose
