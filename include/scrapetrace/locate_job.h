#pragma once
// locate() for whoever reads its scans one at a time: a page's light, most of what it takes in memory, is let
// go as soon as nothing needs it.

#include <cstddef>
#include <memory>
#include <vector>

#include "scrapetrace/locate.h"

namespace scrapetrace {

class LocateJob {
 public:
  // Whether light is kept until take_scans() even if options ask neither for pictures nor for evidence.
  enum class Keep { what_is_shown, all_light };

  // Layout, chart (null: none) and what the options point to must outlive this.
  LocateJob(const Layout& layout, const Chart* chart, const LocateOptions& options,
            Keep keep = Keep::what_is_shown);
  LocateJob(LocateJob&&) noexcept;
  LocateJob& operator=(LocateJob&&) noexcept;
  ~LocateJob();

  // The next scan; its profiles are made at once. Of one that cannot be analysed nothing is kept but why.
  void add(ScanInput scan);
  // The next of those from before the work on the machine, in place of LocateOptions::before.
  void add_before(const ScanInput& scan);
  // Bytes of light that are kept.
  [[nodiscard]] std::size_t light_bytes() const;

  // What locate() gives for all of them together. Once.
  LocateResult finish();
  // The scans, for who goes on with them. Once.
  std::vector<ScanInput> take_scans();

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace scrapetrace
