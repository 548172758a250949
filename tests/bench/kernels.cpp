// The loops that the time goes into, one by one.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "jets/find_pattern.h"
#include "likelihood/banded_cholesky.h"
#include "likelihood/quadratic.h"
#include "profile/ink_view.h"
#include "scan/light_table.h"
#include "streak/box_search.h"
#include "support/raster_of.h"

namespace {

using namespace scrapetrace;

std::vector<double> noise(std::size_t count) {
  std::mt19937 random(1);
  std::normal_distribution<double> normal;
  std::vector<double> out(count);
  for (double& value : out) value = normal(random);
  return out;
}

// Codes as a scan of a solid has them: alike, with noise.
std::vector<std::uint8_t> codes(std::size_t count) {
  std::vector<std::uint8_t> out(count);
  const auto noisy = noise(count);
  for (std::size_t i = 0; i < count; ++i)
    out[i] = static_cast<std::uint8_t>(
        std::clamp(60.0 * static_cast<double>(1 + i % 3) + 2 * noisy[i], 0.0, 255.0));
  return out;
}

// A strip of rows of an SRA3 page at `range` dpi, as the reader adds it up.
void row_accumulation(benchmark::State& state) {
  const auto samples = static_cast<std::size_t>(3 * 12.83 * static_cast<double>(state.range(0)));
  const auto rows = codes(samples * 16);
  const scan::Rows strip{rows.data(), static_cast<std::ptrdiff_t>(samples), 16};
  const scan::LightTable table(1);
  std::vector<std::uint32_t> sums(samples);
  for (auto _ : state) {
    table.add<std::uint8_t>(strip, sums.size(), sums.data());
    benchmark::DoNotOptimize(sums.data());
  }
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(rows.size()));
}

void box_search(benchmark::State& state) {
  const auto samples = static_cast<int>(state.range(0));
  const streak::Signal signal{noise(static_cast<std::size_t>(samples)), 0, samples};
  for (auto _ : state) benchmark::DoNotOptimize(streak::search_boxes(signal, {2, 500, 1e-7}));
  state.SetItemsProcessed(state.iterations() * samples);
}

diagnose::BandedCholesky banded(std::size_t size, std::size_t band) {
  diagnose::BandedCholesky out(size, band);
  for (std::size_t i = 0; i < size; ++i) {
    out.add(i, i, static_cast<double>(band) + 1);
    for (std::size_t j = i > band ? i - band : 0; j < i; ++j) out.add(i, j, 0.5 / static_cast<double>(i - j));
  }
  return out;
}

void band_cholesky(benchmark::State& state) {
  const auto system = banded(2000, static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) {
    auto copy = system;
    benchmark::DoNotOptimize(copy.factor());
  }
}

void band_whitening(benchmark::State& state) {
  auto system = banded(2000, static_cast<std::size_t>(state.range(0)));
  if (!system.factor()) return state.SkipWithError("not positive definite");
  auto values = noise(2000);
  for (auto _ : state) {
    system.whiten(values);
    benchmark::DoNotOptimize(values.data());
  }
}

// What one trial of a likelihood costs over `range` columns.
void likelihood(benchmark::State& state) {
  const auto m = static_cast<std::size_t>(state.range(0));
  const auto block = noise(m * m);
  const auto a = noise(m);
  const auto b = noise(m);
  for (auto _ : state)
    benchmark::DoNotOptimize(diagnose::quadratic_forms(block.data(), m, m, a.data(), b.data()));
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(m * m / 2));
}

void jets_match(benchmark::State& state) {
  const Layout layout = scrapetrace::testing::bench_machine();
  const Chart chart = scrapetrace::testing::bench_chart();
  const auto scan = scrapetrace::testing::noisy_scan(3, static_cast<double>(state.range(0)));
  const auto raster = scrapetrace::testing::raster_of(layout, chart, {}, {}, scan);
  const auto place = scrapetrace::testing::true_placement(chart, {}, scan);
  profile::PreparedScan page;
  page.blur_px = place.blur_px;
  page.strips = profile::extract_strips(raster, place, layout, {}, {});
  page.views = profile::make_ink_views(page.strips, chart, layout, false, {});
  const geometry::Machine machine(layout);
  jets::PatternOptions options;
  options.stretch = 0.0005;
  for (auto _ : state) {
    const jets::JetData data(machine, page);
    benchmark::DoNotOptimize(jets::find_pattern(data, machine, options));
  }
}

BENCHMARK(row_accumulation)->Arg(300)->Arg(600)->Arg(1200);
BENCHMARK(box_search)->Range(1024, 16384);
BENCHMARK(band_cholesky)->Arg(8)->Arg(40)->Arg(120);
BENCHMARK(band_whitening)->Arg(8)->Arg(40)->Arg(120);
BENCHMARK(likelihood)->Arg(16)->Arg(64)->Arg(256);
BENCHMARK(jets_match)->Arg(300)->Arg(600)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
