#include "cli/options.h"

#include <fmt/format.h>

#include "base/wording.h"
#include "cli/output.h"

namespace scrapetrace::cli {

namespace po = boost::program_options;

namespace {

constexpr unsigned kHelpWidth = 100;

std::string without_dashes(const std::string& option) {
  const auto start = option.find_first_not_of('-');
  return start == std::string::npos ? option : option.substr(start);
}

}  // namespace

Options::Options(std::string usage, std::string about, std::string example)
    : usage_(std::move(usage)),
      about_(std::move(about)),
      example_(std::move(example)),
      shown_("Options", kHelpWidth, kHelpWidth / 2) {
  shown_.add_options()("help,h", "show this help");
}

void Options::add(const std::string& name, const po::value_semantic* semantic, const std::string& help) {
  shown_.add_options()(name.c_str(), semantic, help.c_str());
}

void Options::flag(const std::string& name, bool& field, const std::string& help) {
  add(name, po::bool_switch(&field), help);
}

void Options::words(const std::string& name, std::vector<std::string>& field, int most) {
  hidden_.add_options()(name.c_str(), po::value(&field));
  positions_.add(name.c_str(), most);
}

std::string Options::help() const {
  std::ostringstream options;
  options << shown_;
  return fmt::format("Usage: scrapetrace {}\n\n{}\n\n{}\nExample:\n  {}\n", usage_, about_, options.str(),
                     example_);
}

// Boost takes whatever follows an option as its value, even another option.
std::string Options::swallowed_flag(const Arguments& arguments) const {
  for (std::size_t i = 0; i + 1 < arguments.size() && arguments[i] != "--"; ++i) {
    if (!arguments[i].starts_with("--") || !(arguments[i + 1].starts_with("--") || arguments[i + 1] == "-h"))
      continue;
    const auto* option = shown_.find_nothrow(arguments[i].substr(2), false);
    if (option == nullptr || option->semantic()->min_tokens() == 0) continue;
    return fmt::format("option {} needs a value, but {} follows it. If that is the value, write {}={}.",
                       arguments[i], in_quotes(arguments[i + 1]), arguments[i], arguments[i + 1]);
  }
  return {};
}

std::string Options::unknown(const std::string& option) const {
  std::vector<std::string> known;
  for (const auto& each : shown_.options()) known.push_back("--" + each->long_name());
  return fmt::format("unknown option {}.{}", in_quotes(option),
                     did_you_mean("--" + without_dashes(option), known));
}

void Options::store(const Arguments& arguments) {
  po::options_description all;
  all.add(shown_).add(hidden_);
  const int style = po::command_line_style::default_style & ~po::command_line_style::allow_guessing;
  po::store(po::command_line_parser(arguments).options(all).positional(positions_).style(style).run(),
            values_);
  if (values_.count("help") == 0) po::notify(values_);
}

std::optional<ExitStatus> Options::parse(const Arguments& arguments) {
  if (const auto swallowed = swallowed_flag(arguments); !swallowed.empty()) return reject(swallowed);
  try {
    store(arguments);
  } catch (const po::unknown_option& error) {
    return reject(unknown(error.get_option_name()));
  } catch (const po::too_many_positional_options_error&) {
    return reject("more files are given than this command takes.");
  } catch (const po::error& error) {
    return reject(fmt::format("{}.", error.what()));
  }
  if (values_.count("help") > 0) return print_result(help());
  return std::nullopt;
}

bool Options::given(const std::string& name) const {
  return values_.count(name) > 0 && !values_[name].defaulted();
}

ExitStatus Options::reject(const std::string& what) const {
  complain(fmt::format("{} See scrapetrace {} --help.", what, usage_.substr(0, usage_.find(' '))));
  return ExitStatus::bad_request;
}

}  // namespace scrapetrace::cli
