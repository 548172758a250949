#include "report/picture_labels.h"

#include <algorithm>

namespace scrapetrace::report::picture {

namespace {

// A block of touching labels, moved together; `wanted` sums the members' preferred left ends of the block.
struct Block {
  std::size_t first = 0;
  std::size_t count = 0;
  double width = 0;
  double wanted = 0;
  double left = 0;
};

void settle(Block& block, double left, double right) {
  block.left = block.wanted / static_cast<double>(block.count);
  block.left = std::max(left, std::min(block.left, right - block.width));
}

Block joined(const Block& a, const Block& b, double gap) {
  const double offset = a.width + gap;
  return {a.first, a.count + b.count, offset + b.width,
          a.wanted + b.wanted - offset * static_cast<double>(b.count), 0};
}

}  // namespace

// Pool adjacent violators: the least-squares solution for a fixed order.
std::vector<double> spread(const std::vector<double>& wanted, const std::vector<double>& widths, double gap,
                           double left, double right) {
  std::vector<Block> blocks;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    Block block{i, 1, widths[i], wanted[i] - widths[i] / 2, 0};
    settle(block, left, right);
    while (!blocks.empty() && blocks.back().left + blocks.back().width + gap > block.left) {
      block = joined(blocks.back(), block, gap);
      settle(block, left, right);
      blocks.pop_back();
    }
    blocks.push_back(block);
  }
  std::vector<double> centres;
  for (const Block& block : blocks) {
    double x = block.left;
    for (std::size_t i = block.first; i < block.first + block.count; ++i) {
      centres.push_back(x + widths[i] / 2);
      x += widths[i] + gap;
    }
  }
  return centres;
}

std::vector<std::size_t> lanes(const std::vector<Extent>& extents, double gap) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < extents.size(); ++i) {
    std::size_t lane = 0;
    const auto taken = [&](std::size_t candidate) {
      for (std::size_t k = 0; k < i; ++k) {
        if (out[k] == candidate && extents[k].from < extents[i].to + gap &&
            extents[i].from < extents[k].to + gap) {
          return true;
        }
      }
      return false;
    };
    while (taken(lane)) ++lane;
    out.push_back(lane);
  }
  return out;
}

}  // namespace scrapetrace::report::picture
