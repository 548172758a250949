#include "casebook/zone_priors.h"

#include <boost/math/distributions/beta.hpp>

namespace scrapetrace::casebook {

std::vector<ZonePrior> zone_priors(const Layout& layout, const std::vector<ZoneCount>& counts, double weight,
                                   std::vector<ZoneCount>& unknown) {
  std::vector<ZonePrior> out(layout.zones.size());
  std::vector<double> a;
  double total = 0;
  for (const Zone& zone : layout.zones) total += zone.prior;
  for (const Zone& zone : layout.zones) a.push_back(weight * zone.prior / total);
  double sum = weight;
  for (const ZoneCount& count : counts) {
    bool met = false;
    for (std::size_t z = 0; z < out.size() && !met; ++z) {
      met = layout.zones[z].surface == count.surface && to_string(layout.zones[z].side) == count.side;
      if (!met) continue;
      out[z].closed = count.closed;
      a[z] += static_cast<double>(count.closed);
      sum += static_cast<double>(count.closed);
    }
    if (!met) unknown.push_back(count);
  }
  for (std::size_t z = 0; z < out.size(); ++z) {
    out[z].zone = z;
    out[z].mean = a[z] / sum;
    out[z].low = out[z].high = out[z].mean;
    if (a[z] <= 0 || a[z] >= sum) continue;  // certain by the layout, so data cannot change it
    const boost::math::beta_distribution<double> marginal(a[z], sum - a[z]);
    out[z].low = boost::math::quantile(marginal, 0.025);
    out[z].high = boost::math::quantile(boost::math::complement(marginal, 0.025));
  }
  return out;
}

}  // namespace scrapetrace::casebook
