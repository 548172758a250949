#pragma once
// Spectra of profiles, in which what is regular stands out of what is not.

#include <complex>
#include <cstddef>
#include <unsupported/Eigen/FFT>
#include <vector>

namespace scrapetrace::profile {

// The next number, n or above, that only 2, 3 and 5 divide, and 4 does: transforms of other lengths take many
// times as long.
std::size_t quick_length(std::size_t n);

// Powers of values between two lengths of nothing: those of profiles of one length share their lines.
class Periodogram {
 public:
  // Of `length` samples; only those of quick_length() are quick.
  explicit Periodogram(std::size_t length) : length_(length) {}

  // Powers of lines k = 0, 1, ... length / 2 - 1; line k has a period of length / k samples. `values` are
  // weighted by Hann's window, which keeps what is regular on its own lines, and held within `clip` robust
  // standard deviations of their median: what is singular is not to be heard. Empty where they do not vary.
  std::vector<double> powers(std::vector<double> values, double clip);

 private:
  std::size_t length_;
  std::vector<double> window_;
  Eigen::FFT<double> transform_;
  std::vector<std::complex<double>> lines_;
};

// Median power of lines near to line k but for those that a regular pattern there takes up itself; 0 for
// none. Most noise has more power the longer its period: lines of long periods are held against those half as
// long to half as long again.
double median_nearby(const std::vector<double>& powers, std::ptrdiff_t k);

}  // namespace scrapetrace::profile
