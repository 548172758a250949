#pragma once
// Counter-based random numbers: every draw is a function of (seed, stream, position), so results depend
// neither on pixel order nor on threads.

#include <array>
#include <cstdint>

namespace scrapetrace::press {

// The finaliser of splitmix64 (Steele, Lea, Flood 2014): a bijection whose output bits look independent.
constexpr std::uint64_t mix(std::uint64_t x) {
  x += 0x9E3779B97F4A7C15ULL;
  x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9ULL;
  x = (x ^ (x >> 27)) * 0x94D049BB133111EBULL;
  return x ^ (x >> 31);
}

// The purpose of a draw; separates draws under one seed.
enum class Stream : std::uint64_t { jet_volume = 1, grain, mottle, screen, noise };

// The key of a sequence; mix(key + i) is its i-th draw.
constexpr std::uint64_t key(std::uint64_t seed, Stream stream, std::uint64_t a = 0, std::uint64_t b = 0) {
  return mix(mix(mix(mix(seed) ^ static_cast<std::uint64_t>(stream)) + a) + b);
}

// Inverse of the standard normal distribution function for p in (0, 1), to about 1e-12.
double normal_quantile(double p);

// A standard normal deviate from one draw.
double normal_from(std::uint64_t draw);

// 4096 equally likely standard normal deviates with mean 0 and variance 1: one look-up per 12 random bits.
// The largest is 3.7; sums over many pixels are still normal.
const std::array<float, 4096>& normal_table();

}  // namespace scrapetrace::press
