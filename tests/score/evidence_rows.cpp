#include "score/evidence_rows.h"

#include "score/statistics.h"

namespace scrapetrace::score {

namespace {

// One way to read the cases, case by case.
struct Reading {
  std::vector<double> first;
  std::vector<double> loss;
  void add(const std::vector<double>& beliefs, int truth) {
    first.push_back(among_first(beliefs, truth, 1));
    loss.push_back(loss_of(beliefs, truth));
  }
};

std::vector<double> differences(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<double> out;
  for (std::size_t k = 0; k < a.size(); ++k) out.push_back(a[k] - b[k]);
  return out;
}

}  // namespace

std::vector<EvidenceRow> evidence_rows(const std::vector<CaseRecord>& records, std::uint64_t seed) {
  Reading one, several, again, before;
  for (const CaseRecord& r : records) {
    if (!r.evidence || r.truth < 0) continue;
    one.add(together(r.located, r.traced), r.truth);
    several.add(r.evidence->several, r.truth);
    again.add(r.evidence->again, r.truth);
    before.add(r.evidence->before, r.truth);
  }
  if (one.loss.empty()) return {};
  const auto row = [&](const std::string& name, const Reading& reading) {
    return EvidenceRow{name, bootstrap_mean(reading.first, seed), bootstrap_mean(reading.loss, seed),
                       bootstrap_mean(differences(one.loss, reading.loss), seed),
                       bootstrap_mean(differences(reading.first, one.first), seed)};
  };
  return {row("one sheet", one), row("several sheets", several), row("the sheet twice", again),
          row("one and one from before", before)};
}

}  // namespace scrapetrace::score
