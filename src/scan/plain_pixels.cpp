#include "scan/plain_pixels.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <cstring>

#include "scan/raster_frame.h"

namespace scrapetrace::scan {

namespace {

constexpr int kStretchesPerThread = 4;
constexpr int kRowsCopied = 16;  // at once

std::ptrdiff_t packed_bytes(const PixelView& view) {
  return static_cast<std::ptrdiff_t>(view.width_px) * view.channels * (view.bits / 8);
}

// As libvips lays alpha on white.
template <class Sample>
void lay_on_white(const std::uint8_t* from, int width_px, std::uint8_t* to) {
  constexpr std::uint32_t kFull = static_cast<Sample>(-1);
  for (int u = 0; u < width_px; ++u) {
    std::array<Sample, 4> in{};
    std::array<Sample, 3> out{};
    std::memcpy(in.data(), from + static_cast<std::size_t>(u) * sizeof(in), sizeof(in));
    for (std::size_t c = 0; c < 3; ++c) {
      const std::uint64_t sum = std::uint64_t{in[c]} * in[3] + std::uint64_t{kFull} * (kFull - in[3]);
      out[c] = static_cast<Sample>(sum / kFull);
    }
    std::memcpy(to + static_cast<std::size_t>(u) * sizeof(out), out.data(), sizeof(out));
  }
}

std::string wrong_field(const PixelView& view) {
  const auto is = [](const char* field, auto value, const char* allowed) {
    return std::string(field) + " is " + std::to_string(value) + "; " + allowed;
  };
  if (view.samples == nullptr) return "has no samples; the topmost row's address is needed";
  if (view.width_px < 1) return is("width_px", view.width_px, "at least 1 is needed");
  if (view.height_px < 1) return is("height_px", view.height_px, "at least 1 is needed");
  if (view.channels != 1 && view.channels != 3 && view.channels != 4)
    return is("channels", view.channels, "1 (grey), 3 (RGB) and 4 (RGB and alpha) are taken");
  if (view.bits != 8 && view.bits != 16) return is("bits", view.bits, "8 and 16 are taken");
  if (view.stride_bytes != 0 && std::abs(view.stride_bytes) < packed_bytes(view))
    return is("stride_bytes", view.stride_bytes, "a row has ") + std::to_string(packed_bytes(view)) +
           ", and 0 stands for rows without a gap";
  if (view.dpi != 0 && !(view.dpi >= 50 && view.dpi <= 9600))
    return is("dpi", view.dpi, "50 to 9600 are taken, or 0 where it is unknown");
  if (view.orientation < 1 || view.orientation > 8)
    return is("orientation", view.orientation, "1 to 8 are taken, 1 for rows that are shown as they are");
  return wrong_with(StoredSize{view.width_px, view.height_px, view.channels == 1 ? 1 : 3, view.bits / 8});
}

}  // namespace

std::optional<Problem> wrong_with(const PixelView& view) {
  auto what = wrong_field(view);
  if (what.empty()) return std::nullopt;
  return Problem{view.name, 0, 0, std::move(what)};
}

PlainPixels::PlainPixels(const PixelView& view)
    : size_{view.width_px, view.height_px, view.channels == 1 ? 1 : 3, view.bits / 8},
      first_(static_cast<const std::uint8_t*>(view.samples)),
      stride_(view.stride_bytes != 0 ? view.stride_bytes : packed_bytes(view)),
      alpha_(view.channels == 4) {
  const bool even = reinterpret_cast<std::uintptr_t>(first_) % 2 == 0 && stride_ % 2 == 0;
  as_it_is_ = !alpha_ && (size_.bytes == 1 || even);
}

std::vector<int> PlainPixels::stretches(int step_px, int threads) const {
  const int most = std::max(1, size_.height_px / (kStretchesPerThread * threads));
  const int length = threads == 1 ? size_.height_px : std::max(1, most / step_px) * step_px;
  std::vector<int> rows;
  for (int row = 0; row < size_.height_px; row += length) rows.push_back(row);
  return rows;
}

bool PlainPixels::decode(int from, int to, const RowSink& sink) {
  if (as_it_is_) {
    sink({first_ + from * stride_, stride_, to - from});
    return true;
  }
  std::vector<std::uint8_t> rows(row_bytes() * kRowsCopied);
  for (int row = from; row < to; row += kRowsCopied) {
    const int count = std::min(kRowsCopied, to - row);
    for (int r = 0; r < count; ++r)
      copy_row(row + r, rows.data() + row_bytes() * static_cast<std::size_t>(r));
    sink({rows.data(), static_cast<std::ptrdiff_t>(row_bytes()), count});
  }
  return true;
}

std::vector<std::uint8_t> PlainPixels::copied() const {
  if (as_it_is_ && stride_ == static_cast<std::ptrdiff_t>(row_bytes())) return {};
  std::vector<std::uint8_t> out(row_bytes() * static_cast<std::size_t>(size_.height_px));
  for (int row = 0; row < size_.height_px; ++row)
    copy_row(row, out.data() + row_bytes() * static_cast<std::size_t>(row));
  return out;
}

std::size_t PlainPixels::row_bytes() const {
  return static_cast<std::size_t>(size_.width_px) * static_cast<std::size_t>(size_.bands * size_.bytes);
}

void PlainPixels::copy_row(int row, std::uint8_t* out) const {
  const std::uint8_t* from = first_ + row * stride_;
  if (!alpha_) {
    std::copy(from, from + row_bytes(), out);
  } else if (size_.bytes == 1) {
    lay_on_white<std::uint8_t>(from, size_.width_px, out);
  } else {
    lay_on_white<std::uint16_t>(from, size_.width_px, out);
  }
}

}  // namespace scrapetrace::scan
