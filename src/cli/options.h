#pragma once
// One command's options: flags bound to fields, whose values beforehand are the defaults that help shows.

#include <fmt/format.h>

#include <boost/program_options.hpp>
#include <optional>
#include <string>
#include <type_traits>

#include "cli/commands.h"

namespace scrapetrace::cli {

class Options {
 public:
  // `usage` is what follows the program's name; `example` is shown at the end of the help.
  Options(std::string usage, std::string about, std::string example);

  // --name VALUE; `what` says what VALUE is.
  template <class T>
  void value(const std::string& name, T& field, const std::string& what, const std::string& help) {
    namespace po = boost::program_options;
    auto* semantic = po::value<T>(&field)->value_name(what);
    if constexpr (std::is_arithmetic_v<T>) semantic->default_value(field, fmt::format("{}", field));
    add(name, semantic, help);
  }
  // --name, without a value, sets the field.
  void flag(const std::string& name, bool& field, const std::string& help);
  // Words without a flag.
  void words(const std::string& name, std::vector<std::string>& field, int most);

  // Fills the fields. The status to leave with, when help was asked for or something is wrong.
  [[nodiscard]] std::optional<ExitStatus> parse(const Arguments& arguments);
  // True when the option stood on the command line.
  [[nodiscard]] bool given(const std::string& name) const;

  // Says what is wrong, and where help is.
  ExitStatus reject(const std::string& what) const;

 private:
  void add(const std::string& name, const boost::program_options::value_semantic* semantic,
           const std::string& help);
  [[nodiscard]] std::string help() const;
  [[nodiscard]] std::string swallowed_flag(const Arguments& arguments) const;
  [[nodiscard]] std::string unknown(const std::string& option) const;
  void store(const Arguments& arguments);

  std::string usage_;
  std::string about_;
  std::string example_;
  boost::program_options::options_description shown_;
  boost::program_options::options_description hidden_;
  boost::program_options::positional_options_description positions_;
  boost::program_options::variables_map values_;
};

}  // namespace scrapetrace::cli
