#pragma once
// The sRGB transfer curve, IEC 61966-2-1:1999: V <= 0.04045: V / 12.92, else ((V + 0.055) / 1.055)^2.4.

#include <array>
#include <cstdint>

namespace scrapetrace {

// Both clamp their argument to [0, 1].
double linear_from_srgb(double code);  // code value as a fraction of full scale
double srgb_from_linear(double linear);

// round(255 srgb_from_linear(linear)), by a table instead of a power per pixel.
std::uint8_t srgb8_from_linear(double linear);

// Linear value of every 8-bit code.
const std::array<double, 256>& linear_from_srgb8();

}  // namespace scrapetrace
