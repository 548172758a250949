#pragma once
// Typed access to a TOML table. An invalid value is reported, leaves its target unchanged and returns false;
// finish() reports keys that nobody read.

#include <toml++/toml.h>

#include <array>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "layout/problem_list.h"

namespace scrapetrace::layout {

struct Range {
  double low = -std::numeric_limits<double>::max();
  double high = std::numeric_limits<double>::max();
  bool above_low = false;  // low is excluded
};
std::string to_text(const Range& range);  // "0.5 to 2", "above 0, at most 1"
bool holds(const Range& range, double value);

struct WholeRange {
  std::int64_t low = 0;
  std::int64_t high = 0;
};

enum class Need { required, optional };

class TableReader {
 public:
  // `called` names the table in messages: "[drum]", "head 2".
  TableReader(const toml::table& table, std::string called, ProblemList& problems);

  bool number(std::string_view key, double& out, Range range, Need need = Need::required);
  bool whole(std::string_view key, int& out, WholeRange range, Need need = Need::required);
  bool whole(std::string_view key, std::uint64_t& out, WholeRange range, Need need = Need::required);
  bool truth(std::string_view key, bool& out, Need need = Need::required);
  // A name: non-empty, no control characters, at most 64 characters.
  bool name(std::string_view key, std::string& out, Need need = Need::required);
  // One of a few words.
  bool word(std::string_view key, std::string& out, const std::vector<std::string>& allowed,
            Need need = Need::required);
  template <std::size_t N>
  bool numbers(std::string_view key, std::array<double, N>& out, Range range, Need need = Need::required) {
    return fixed_numbers(key, out.data(), N, range, need);
  }
  bool whole_list(std::string_view key, std::vector<int>& out, WholeRange range, int most);
  bool names(std::string_view key, std::vector<std::string>& out, int most);

  // Sub-tables [key] and [[key]]. Reports missing required ones; `most` limits their number.
  const toml::table* table(std::string_view key, Need need = Need::required);
  std::vector<const toml::table*> tables(std::string_view key, int most, Need need = Need::required);

  void finish();

  [[nodiscard]] bool has(std::string_view key) const { return table_->contains(key); }
  [[nodiscard]] Place place() const;                      // of the table's header
  [[nodiscard]] Place place(std::string_view key) const;  // of the key's value, else of the header
  void problem(std::string_view key, std::string what) { problems_->add(place(key), std::move(what)); }
  [[nodiscard]] const std::string& called() const { return called_; }

 private:
  // The value; null after reporting a missing required key.
  const toml::node* find(std::string_view key, Need need) { return find(key, need, "the key \"{}\""); }
  const toml::node* find(std::string_view key, Need need, const char* missing);
  bool wrong_type(std::string_view key, const toml::node& node, std::string_view wanted);
  bool whole64(std::string_view key, std::int64_t& out, WholeRange range, Need need);
  bool check_number(std::string_view key, const toml::node& node, double& out, Range range);
  bool check_whole(std::string_view key, const toml::node& node, std::int64_t& out, WholeRange range);
  bool check_name(std::string_view key, const toml::node& node, std::string& out);
  bool fixed_numbers(std::string_view key, double* out, std::size_t count, Range range, Need need);
  const toml::array* list(std::string_view key, std::size_t fewest, std::size_t most, std::string_view wanted,
                          const toml::node* node);

  const toml::table* table_;
  std::string called_;
  ProblemList* problems_;
  std::vector<std::string> known_;
};

Place place_of(const toml::node& node);

}  // namespace scrapetrace::layout
