#include "layout/table_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/wording.h"
#include "layout/wording.h"

namespace scrapetrace::layout {

Place place_of(const toml::node& node) {
  const auto begin = node.source().begin;
  return {std::max(1, static_cast<int>(begin.line)), std::max(1, static_cast<int>(begin.column))};
}

std::string to_text(const Range& range) {
  if (range.above_low) return fmt::format("above {}, at most {}", range.low, range.high);
  return fmt::format("{} to {}", range.low, range.high);
}

bool holds(const Range& range, double value) {
  return std::isfinite(value) && value <= range.high &&
         (range.above_low ? value > range.low : value >= range.low);
}

TableReader::TableReader(const toml::table& table, std::string called, ProblemList& problems)
    : table_(&table), called_(std::move(called)), problems_(&problems) {}

Place TableReader::place() const {
  return place_of(*table_);
}

Place TableReader::place(std::string_view key) const {
  const toml::node* node = table_->get(key);
  return node == nullptr ? place() : place_of(*node);
}

const toml::node* TableReader::find(std::string_view key, Need need, const char* missing) {
  known_.emplace_back(key);
  const toml::node* node = table_->get(key);
  if (node == nullptr && need == Need::required && !problems_->has_skipped_lines()) {
    problems_->add(place(), called_ + " lacks " + fmt::format(fmt::runtime(missing), key) + "; add it.");
  }
  return node;
}

bool TableReader::wrong_type(std::string_view key, const toml::node& node, std::string_view wanted) {
  problems_->add(place_of(node),
                 fmt::format("{} of {} is {}; it must be {}.", key, called_, shown(node), wanted));
  return false;
}

bool TableReader::check_number(std::string_view key, const toml::node& node, double& out, Range range) {
  if (!node.is_number()) return wrong_type(key, node, "a number");
  const double value = node.value<double>().value_or(0);
  if (!holds(range, value)) {
    problems_->add(place_of(node),
                   fmt::format("{} of {} is {}; allowed: {}.", key, called_, shown(node), to_text(range)));
    return false;
  }
  out = value;
  return true;
}

bool TableReader::check_whole(std::string_view key, const toml::node& node, std::int64_t& out,
                              WholeRange range) {
  const auto* whole = node.as_integer();
  if (whole == nullptr) return wrong_type(key, node, "a whole number");
  if (whole->get() < range.low || whole->get() > range.high) {
    problems_->add(place_of(node), fmt::format("{} of {} is {}; allowed: {} to {}.", key, called_,
                                               whole->get(), range.low, range.high));
    return false;
  }
  out = whole->get();
  return true;
}

bool TableReader::check_name(std::string_view key, const toml::node& node, std::string& out) {
  constexpr std::size_t kLongest = 64;
  const auto* text = node.as_string();
  if (text == nullptr) return wrong_type(key, node, "a text in quotes");
  const std::string& value = text->get();
  const char* fault = nullptr;
  if (value.find_first_not_of(' ') == std::string::npos) fault = "is empty; give it a name";
  if (value.size() > kLongest) fault = "is longer than 64 bytes; shorten it";
  for (const char c : value) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x20 || byte == 0x7f) fault = "holds a control character; use one line of plain text";
  }
  if (fault != nullptr) {
    problems_->add(place_of(node), fmt::format("{} of {} {}.", key, called_, fault));
    return false;
  }
  out = value;
  return true;
}

bool TableReader::number(std::string_view key, double& out, Range range, Need need) {
  const toml::node* node = find(key, need);
  return node == nullptr ? need == Need::optional : check_number(key, *node, out, range);
}

bool TableReader::whole64(std::string_view key, std::int64_t& out, WholeRange range, Need need) {
  const toml::node* node = find(key, need);
  return node == nullptr ? need == Need::optional : check_whole(key, *node, out, range);
}

bool TableReader::whole(std::string_view key, int& out, WholeRange range, Need need) {
  std::int64_t value = out;
  const bool ok = whole64(key, value, range, need);
  out = static_cast<int>(value);
  return ok;
}

bool TableReader::whole(std::string_view key, std::uint64_t& out, WholeRange range, Need need) {
  auto value = static_cast<std::int64_t>(out);
  const bool ok = whole64(key, value, range, need);
  out = static_cast<std::uint64_t>(value);
  return ok;
}

bool TableReader::truth(std::string_view key, bool& out, Need need) {
  const toml::node* node = find(key, need);
  if (node == nullptr) return need == Need::optional;
  const auto* value = node->as_boolean();
  if (value == nullptr) return wrong_type(key, *node, "true or false");
  out = value->get();
  return true;
}

bool TableReader::name(std::string_view key, std::string& out, Need need) {
  const toml::node* node = find(key, need);
  return node == nullptr ? need == Need::optional : check_name(key, *node, out);
}

bool TableReader::word(std::string_view key, std::string& out, const std::vector<std::string>& allowed,
                       Need need) {
  const toml::node* node = find(key, need);
  if (node == nullptr) return need == Need::optional;
  const auto* text = node->as_string();
  if (text == nullptr) return wrong_type(key, *node, any_of(allowed));
  if (std::find(allowed.begin(), allowed.end(), text->get()) == allowed.end()) {
    problems_->add(place_of(*node),
                   fmt::format("{} of {} is {}; allowed: {}.{}", key, called_, shown(*node), any_of(allowed),
                               allowed.size() > 1 ? did_you_mean(text->get(), allowed) : ""));
    return false;
  }
  out = text->get();
  return true;
}

const toml::array* TableReader::list(std::string_view key, std::size_t fewest, std::size_t most,
                                     std::string_view wanted, const toml::node* node) {
  if (node == nullptr) return nullptr;
  const toml::array* array = node->as_array();
  if (array != nullptr && array->size() >= fewest && array->size() <= most) return array;
  wrong_type(key, *node, wanted);
  return nullptr;
}

bool TableReader::fixed_numbers(std::string_view key, double* out, std::size_t count, Range range,
                                Need need) {
  const toml::array* array =
      list(key, count, count, fmt::format("a list of {} numbers", count), find(key, need));
  if (array == nullptr) return need == Need::optional && !has(key);
  bool ok = true;
  for (std::size_t i = 0; i < count; ++i) ok = check_number(key, *array->get(i), out[i], range) && ok;
  return ok;
}

bool TableReader::whole_list(std::string_view key, std::vector<int>& out, WholeRange range, int most) {
  const toml::array* array =
      list(key, 1, static_cast<std::size_t>(most), fmt::format("a list of 1 to {} whole numbers", most),
           find(key, Need::required));
  if (array == nullptr) return false;
  bool ok = true;
  out.clear();
  for (const auto& node : *array) {
    std::int64_t value = 0;
    ok = check_whole(key, node, value, range) && ok;
    out.push_back(static_cast<int>(value));
  }
  return ok;
}

bool TableReader::names(std::string_view key, std::vector<std::string>& out, int most) {
  const toml::array* array = list(key, 1, static_cast<std::size_t>(most),
                                  fmt::format("a list of 1 to {} names", most), find(key, Need::required));
  if (array == nullptr) return false;
  bool ok = true;
  out.clear();
  for (const auto& node : *array) {
    std::string value;
    ok = check_name(key, node, value) && ok;
    out.push_back(value);
  }
  return ok;
}

const toml::table* TableReader::table(std::string_view key, Need need) {
  const toml::node* node = find(key, need, "the table [{}]");
  if (node == nullptr) return nullptr;
  if (!node->is_table()) wrong_type(key, *node, fmt::format("a table, [{}]", key));
  return node->as_table();
}

std::vector<const toml::table*> TableReader::tables(std::string_view key, int most, Need need) {
  std::vector<const toml::table*> out;
  const toml::array* array = list(key, need == Need::required ? 1 : 0, static_cast<std::size_t>(most),
                                  fmt::format("1 to {0} tables, each under its own [[{1}]]", most, key),
                                  find(key, need, "a table [[{}]]"));
  if (array == nullptr) return out;
  for (const auto& node : *array) {
    if (!node.is_table()) wrong_type(key, node, fmt::format("a table under its own [[{}]]", key));
    if (node.is_table()) out.push_back(node.as_table());
  }
  return out;
}

void TableReader::finish() {
  for (const auto& [key, node] : *table_) {
    if (std::find(known_.begin(), known_.end(), key.str()) != known_.end()) continue;
    const auto begin = key.source().begin;
    problems_->add(
        {static_cast<int>(begin.line), static_cast<int>(begin.column)},
        fmt::format("{} knows no key {}.{}", called_, in_quotes(key.str()), did_you_mean(key.str(), known_)));
  }
}

}  // namespace scrapetrace::layout
