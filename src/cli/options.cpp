#include "cli/options.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/program_options.hpp>
#include <sstream>

#include "base/wording.h"
#include "cli/output.h"
#include "cli/output_file.h"
#include "report/words.h"

namespace scrapetrace::cli {

namespace po = boost::program_options;

namespace {

constexpr unsigned kHelpWidth = 100;

// While set, parse() stores the description here and returns (Options::sheet_of).
CommandSheet* describing = nullptr;

// Single-quoted when a shell would interpret it.
std::string shell_word(const std::string& word) {
  constexpr std::string_view kPlain =
      "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./:=,+@%";
  if (!word.empty() && word.find_first_not_of(kPlain) == std::string::npos) return word;
  std::string out = "'";
  for (const char c : word) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

// Boost would accept another option as an option's value.
std::string swallowed_flag(const po::options_description& known, const Arguments& arguments) {
  for (std::size_t i = 0; i + 1 < arguments.size() && arguments[i] != "--"; ++i) {
    const std::string& next = arguments[i + 1];
    if (!arguments[i].starts_with("--") || !(next.starts_with("--") || next == "-h")) continue;
    const auto* option = known.find_nothrow(arguments[i].substr(2), false);
    if (option == nullptr || option->semantic()->min_tokens() == 0) continue;
    return fmt::format("option {0} needs a value, but {1} follows it. If that is the value, write {0}={2}.",
                       arguments[i], in_quotes(next), next);
  }
  return {};
}

std::string unknown(const po::options_description& shown, const std::string& option) {
  std::vector<std::string> known;
  for (const auto& each : shown.options()) known.push_back("--" + each->long_name());
  const auto start = option.find_first_not_of('-');
  const std::string bare = start == std::string::npos ? option : option.substr(start);
  return fmt::format("unknown option {}.{}", in_quotes(option), did_you_mean("--" + bare, known));
}

}  // namespace

struct Options::Parts {
  po::options_description shown{"Options", kHelpWidth, kHelpWidth / 2};
  po::options_description hidden;
  po::positional_options_description positions;
  po::variables_map values;
  CommandSheet sheet;
  Arguments line;
  std::string words;                // name of the words without a flag
  const SheetPart* part = nullptr;  // the selected subcommand
  bool force = false;
  std::vector<std::pair<std::string, const std::string*>> read;
  std::vector<std::pair<std::string, const std::vector<std::string>*>> lists_read;
  std::vector<std::pair<std::string, const std::string*>> written;

  void add(const std::string& name, const po::value_semantic* semantic, const std::string& help,
           const std::string& what, const std::string& fallback = "") {
    shown.add_options()(name.c_str(), semantic, help.c_str());
    sheet.options.push_back({name, what, help, fallback});
  }

  // The default value with the fewest digits, not Boost's seventeen.
  template <class Number>
  void add_number(const std::string& name, Number& field, const std::string& what, const std::string& help) {
    const std::string fallback = fmt::format("{}", field);
    add(name, po::value<Number>(&field)->value_name(what)->default_value(field, fallback), help, what,
        fallback);
  }

  void store(const Arguments& arguments) {
    po::options_description all;
    all.add(shown).add(hidden);
    const int style = po::command_line_style::default_style & ~po::command_line_style::allow_guessing;
    po::store(po::command_line_parser(arguments).options(all).positional(positions).style(style).run(),
              values);
    choose_part();
    if (values.count("help") == 0) po::notify(values);
  }

  void choose_part() {
    if (values.count(words) == 0) return;
    const auto first = values[words].as<std::vector<std::string>>().front();
    for (const SheetPart& each : sheet.parts) {
      if (each.name == first) part = &each;
    }
  }

  [[nodiscard]] bool goes_with_part(const std::string& option) const {
    return part == nullptr || option == "help" ||
           std::find(part->options.begin(), part->options.end(), option) != part->options.end();
  }

  // The first option that the subcommand does not take; empty: none.
  [[nodiscard]] std::string foreign_option() const {
    for (const OptionRow& row : sheet.options) {
      const bool given = values.count(row.name) > 0 && !values[row.name].defaulted();
      if (given && !goes_with_part(row.name)) return row.name;
    }
    return {};
  }

  [[nodiscard]] std::string help() const {
    po::options_description rows("Options", kHelpWidth, kHelpWidth / 2);
    for (const auto& option : shown.options()) {
      if (goes_with_part(option->long_name())) rows.add(option);
    }
    std::ostringstream options;
    options << rows;
    std::string examples = "\n" + (part == nullptr ? sheet.example : part->example);
    for (std::size_t at = 0; (at = examples.find('\n', at)) != std::string::npos; at += 3)
      examples.insert(at + 1, "  ");
    return fmt::format("Usage: {}{}\n\n{}\n\n{}\nExample:{}\n{}", sheet.program,
                       part == nullptr ? sheet.usage : part->usage,
                       part == nullptr ? sheet.about + more_help() : part->about, options.str(), examples,
                       sheet.cautions ? '\n' + report::cautions_text() : "");
  }

  // The subcommands that have help of their own.
  [[nodiscard]] std::string more_help() const {
    std::string out;
    for (const SheetPart& each : sheet.parts) out += (out.empty() ? "" : ", ") + each.name;
    if (out.empty()) return out;
    return fmt::format("\nMore of {}: {}{} {} --help, and so on.", out, sheet.program, sheet.name(),
                       sheet.parts.front().name);
  }

  // An output that would overwrite an input or another output, as a sentence; empty: none.
  [[nodiscard]] std::string overwriting() const {
    std::vector<NamedFile> inputs;
    std::vector<NamedFile> outputs;
    for (const auto& [role, file] : read) inputs.push_back({role, *file});
    for (const auto& [role, files] : lists_read) {
      for (const auto& file : *files) inputs.push_back({role, file});
    }
    if (part != nullptr)
      std::erase_if(inputs, [&](const NamedFile& file) { return file.path == part->name; });
    for (const auto& [role, file] : written) outputs.push_back({role, *file});
    return overwrites(inputs, outputs);
  }

  // "case add" or "locate".
  [[nodiscard]] std::string name() const {
    return part == nullptr ? sheet.name() : sheet.name() + ' ' + part->name;
  }
};

Options::Options(std::string usage, std::string about, std::string example)
    : parts_(std::make_unique<Parts>()) {
  parts_->sheet.usage = std::move(usage);
  parts_->sheet.about = std::move(about);
  parts_->sheet.example = std::move(example);
  parts_->shown.add_options()("help,h", "show this help");
  parts_->sheet.options.push_back({"help", "", "show this help", ""});
}

Options::~Options() = default;

void Options::value(const std::string& name, std::string& field, const std::string& what,
                    const std::string& help) {
  parts_->add(name, po::value(&field)->value_name(what), help, what);
}

void Options::value(const std::string& name, std::vector<std::string>& field, const std::string& what,
                    const std::string& help) {
  parts_->add(name, po::value(&field)->value_name(what), help, what);
}

void Options::list(const std::string& name, std::vector<std::string>& field, const std::string& what,
                   const std::string& help) {
  parts_->add(name, po::value(&field)->multitoken()->composing()->value_name(what), help, what);
}

void Options::value(const std::string& name, double& field, const std::string& what,
                    const std::string& help) {
  parts_->add_number(name, field, what, help);
}

void Options::value(const std::string& name, int& field, const std::string& what, const std::string& help) {
  parts_->add_number(name, field, what, help);
}

void Options::value(const std::string& name, std::uint64_t& field, const std::string& what,
                    const std::string& help) {
  parts_->add_number(name, field, what, help);
}

void Options::flag(const std::string& name, bool& field, const std::string& help) {
  parts_->add(name, po::bool_switch(&field), help, "");
}

void Options::input(const std::string& name, std::string& field, const std::string& what,
                    const std::string& help) {
  value(name, field, what, help);
  parts_->read.emplace_back("--" + name, &field);
}

void Options::input(const std::string& name, std::vector<std::string>& field, const std::string& what,
                    const std::string& help) {
  value(name, field, what, help);
  parts_->lists_read.emplace_back("--" + name, &field);
}

void Options::input_list(const std::string& name, std::vector<std::string>& field, const std::string& what,
                         const std::string& help) {
  list(name, field, what, help);
  parts_->lists_read.emplace_back("--" + name, &field);
}

void Options::output(const std::string& name, std::string& field, const std::string& what,
                     const std::string& help) {
  value(name, field, what, help);
  parts_->written.emplace_back("--" + name, &field);
}

void Options::words(const std::string& name, std::vector<std::string>& field, int most) {
  parts_->hidden.add_options()(name.c_str(), po::value(&field));
  parts_->positions.add(name.c_str(), most);
  parts_->sheet.takes_files = true;
  parts_->words = name;
  parts_->lists_read.emplace_back(name, &field);
}

void Options::part(SheetPart part) {
  parts_->sheet.parts.push_back(std::move(part));
}

void Options::writes_files() {
  flag("force", parts_->force, "replace output files that are there already");
}

void Options::stands_alone() {
  parts_->sheet.program.clear();
}

void Options::show_cautions() {
  parts_->sheet.cautions = true;
}

std::optional<ExitStatus> Options::parse(const Arguments& arguments) {
  if (describing != nullptr) {
    *describing = parts_->sheet;
    return ExitStatus::ok;
  }
  parts_->line = arguments;
  if (const auto swallowed = swallowed_flag(parts_->shown, arguments); !swallowed.empty())
    return reject(swallowed);
  try {
    parts_->store(arguments);
  } catch (const po::unknown_option& error) {
    return reject(unknown(parts_->shown, error.get_option_name()));
  } catch (const po::too_many_positional_options_error&) {
    return reject("more files are given than this command takes.");
  } catch (const po::error& error) {
    return reject(fmt::format("{}.", error.what()));
  }
  if (parts_->values.count("help") > 0) return print_result(parts_->help());
  if (const auto option = parts_->foreign_option(); !option.empty())
    return reject(fmt::format("--{} does not go with {}.", option, parts_->name()));
  if (const auto what = parts_->overwriting(); !what.empty()) return reject(what);
  if (parts_->force) replace_outputs();
  return std::nullopt;
}

bool Options::given(const std::string& name) const {
  return parts_->values.count(name) > 0 && !parts_->values[name].defaulted();
}

std::string Options::command_line() const {
  std::string out = parts_->sheet.program + parts_->sheet.name();
  for (const auto& word : parts_->line) out += ' ' + shell_word(word);
  return out;
}

std::vector<std::pair<std::string, std::string>> Options::settings() const {
  std::vector<std::pair<std::string, std::string>> out;
  for (const OptionRow& row : parts_->sheet.options) {
    if (parts_->values.count(row.name) == 0) continue;
    const auto& any = parts_->values[row.name].value();
    std::string value;
    if (const auto* text = boost::any_cast<std::string>(&any)) value = *text;
    if (const auto* number = boost::any_cast<double>(&any)) value = fmt::format("{}", *number);
    if (const auto* set = boost::any_cast<bool>(&any); set != nullptr && *set) value = "yes";
    if (const auto* number = boost::any_cast<int>(&any)) value = fmt::format("{}", *number);
    if (const auto* number = boost::any_cast<std::uint64_t>(&any)) value = fmt::format("{}", *number);
    if (const auto* list = boost::any_cast<std::vector<std::string>>(&any)) {
      for (const auto& each : *list) value += (value.empty() ? "" : " ") + shell_word(each);
    }
    if (!value.empty()) out.emplace_back(row.name, std::move(value));
  }
  return out;
}

CommandSheet Options::sheet_of(const Command& command) {
  CommandSheet sheet;
  describing = &sheet;
  command.run({});
  describing = nullptr;
  return sheet;
}

ExitStatus Options::reject(const std::string& what) const {
  complain(fmt::format("{} See {}{} --help.", what, parts_->sheet.program, parts_->name()));
  return ExitStatus::bad_request;
}

}  // namespace scrapetrace::cli
