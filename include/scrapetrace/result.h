#pragma once
// How a verb answers: a value, or every problem found, each fit to be shown to a person as it is.

#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace scrapetrace {

// One thing wrong with an input. `line` and `column` count from 1; 0 means the place is unknown.
// `what` is one sentence with the value met, what is allowed, and what to do.
struct Problem {
  std::string file;
  int line = 0;
  int column = 0;
  std::string what;
};

// "file:line:column: what", leaving out what is unknown.
std::string to_string(const Problem& problem);

using Problems = std::vector<Problem>;

// A value or a non-empty list of problems. Asking for the half that is not there is a programming error
// and throws std::bad_variant_access.
template <class T>
class Result {
 public:
  Result(T value) : state_(std::move(value)) {}                      // NOLINT(google-explicit-constructor)
  Result(Problems problems) : state_(std::move(problems)) {}         // NOLINT(google-explicit-constructor)
  Result(Problem problem) : state_(Problems{std::move(problem)}) {}  // NOLINT(google-explicit-constructor)

  [[nodiscard]] bool ok() const { return std::holds_alternative<T>(state_); }
  explicit operator bool() const { return ok(); }
  [[nodiscard]] const T& value() const& { return std::get<T>(state_); }
  [[nodiscard]] T&& value() && { return std::get<T>(std::move(state_)); }
  [[nodiscard]] const Problems& problems() const { return std::get<Problems>(state_); }
  const T& operator*() const& { return value(); }
  const T* operator->() const { return &value(); }

 private:
  std::variant<T, Problems> state_;
};

}  // namespace scrapetrace
