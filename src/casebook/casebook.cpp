#include "casebook/casebook.h"

#include <array>
#include <filesystem>

#include "casebook/schema.h"
#include "hash/sha256.h"
#include "store/sqlite.h"

namespace scrapetrace::casebook {

namespace {

constexpr const char* kColumns =
    "number, unit, kind, at, who, tool_version, layout, layout_sha256, head, side, surface, outcome, "
    "summary, "
    "body, picture, previous, hash";

constexpr std::array kTexts{
    &Record::unit,    &Record::kind,          &Record::at,   &Record::who,    &Record::tool_version,
    &Record::layout,  &Record::layout_sha256, &Record::head, &Record::side,   &Record::surface,
    &Record::outcome, &Record::summary,       &Record::body, &Record::picture};
constexpr int kPictureColumn = 14;
constexpr int kPreviousColumn = 15;
constexpr int kHashColumn = 16;

Record record_of(const store::Statement& row) {
  Record record;
  record.number = row.whole(0);
  for (std::size_t i = 0; i < kTexts.size(); ++i) record.*kTexts[i] = row.text(static_cast<int>(i) + 1);
  record.previous = row.text(kPreviousColumn);
  record.hash = row.text(kHashColumn);
  return record;
}

void insert(store::Database& database, const Record& record) {
  auto row = database.prepare(std::string("INSERT INTO record (") + kColumns +
                              ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  row.whole(1, record.number);
  for (std::size_t i = 0; i < kTexts.size(); ++i) {
    const int parameter = static_cast<int>(i) + 2;
    if (parameter - 1 == kPictureColumn) {
      row.blob(parameter, record.*kTexts[i]);
    } else {
      row.text(parameter, record.*kTexts[i]);
    }
  }
  row.text(kPreviousColumn + 1, record.previous).text(kHashColumn + 1, record.hash).run();
  if (database.changes() != 1) throw store::StoreError("a record was not taken");
}

// The highest number ever given, from SQLite's AUTOINCREMENT table; 0 when there is none.
std::int64_t highest_number(store::Database& database) {
  auto row = database.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'record'");
  return row.step() ? row.whole(0) : 0;
}

// If a table and its index disagree, different queries see different records.
void check_pages(store::Database& database) {
  auto row = database.prepare("PRAGMA integrity_check(1)");
  if (!row.step() || row.text(0) != "ok") throw store::StoreError("its pages are damaged: " + row.text(0));
}

}  // namespace

std::string hash_of(const Record& record) {
  std::string all;
  const auto add = [&](const std::string& field) { all += std::to_string(field.size()) + ':' + field; };
  add(record.previous);
  add(std::to_string(record.number));
  for (const auto field : kTexts) add(record.*field);
  return hash::sha256(all);
}

struct Casebook::Parts {
  std::string path;
  mutable store::Database database;
  [[nodiscard]] Problem problem(const std::exception& error) const {
    return {path, 0, 0, std::string("cannot be used as a casebook: ") + error.what()};
  }
};

Casebook::Casebook(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Casebook::Casebook(Casebook&&) noexcept = default;
Casebook& Casebook::operator=(Casebook&&) noexcept = default;
Casebook::~Casebook() = default;

Result<Casebook> Casebook::open(const std::string& path, bool create) {
  const bool fresh = !std::filesystem::exists(path);
  if (fresh && !create) return Problem{path, 0, 0, "does not exist; the first 'case add' makes it"};
  if (!fresh) {
    if (const auto wrong = wrong_with_header(path)) return Problem{path, 0, 0, *wrong};
  }
  try {
    using Open = store::Database::Open;
    auto parts = std::make_unique<Parts>(Parts{path, {path, create ? Open::create : Open::read_only}});
    auto& database = parts->database;
    database.distrust();
    if (create) {
      store::Transaction transaction(database);
      auto tables = database.prepare("SELECT COUNT(*) FROM sqlite_schema");
      tables.step();
      if (tables.whole(0) == 0) make_tables(database);
      transaction.commit();
    }
    if (const auto wrong = wrong_with_schema(database)) return Problem{path, 0, 0, *wrong};
    return Casebook(std::move(parts));
  } catch (const store::StoreError& error) {
    return Problem{path, 0, 0, std::string("cannot be used as a casebook: ") + error.what()};
  }
}

Result<std::string> Casebook::add(std::vector<Record> records) {
  try {
    store::Transaction transaction(parts_->database);
    const auto chain = verify("");
    if (!chain) return chain.problems();
    if (chain->broken > 0) {
      return Problem{parts_->path, 0, 0,
                     "is broken at record " + std::to_string(chain->broken) + ": " + chain->why +
                         "; nothing is added to it. Go back to a copy that 'case verify' calls whole"};
    }
    std::int64_t number = chain->records;
    std::string previous = chain->last_hash;
    for (Record& record : records) {
      record.number = ++number;
      record.previous = previous;
      record.hash = hash_of(record);
      insert(parts_->database, record);
      previous = record.hash;
    }
    transaction.commit();
    return previous;
  } catch (const store::StoreError& error) {
    return parts_->problem(error);
  }
}

Problems Casebook::each(const std::string& unit, const std::function<void(const Record&)>& visit) const {
  try {
    auto rows =
        parts_->database.prepare(std::string("SELECT ") + kColumns +
                                 " FROM record NOT INDEXED WHERE ?1 = '' OR unit = ?1 ORDER BY number");
    rows.text(1, unit);
    while (rows.step()) visit(record_of(rows));
  } catch (const store::StoreError& error) {
    return {parts_->problem(error)};
  }
  return {};
}

Result<Verification> Casebook::verify(const std::string& expected_hash) const {
  Verification out;
  bool met = expected_hash.empty();
  std::string previous;
  const auto broken = [&](std::int64_t number, const char* why) {
    if (out.broken == 0) out.broken = number, out.why = why;
  };
  std::int64_t highest = 0;
  try {
    check_pages(parts_->database);
    highest = highest_number(parts_->database);
  } catch (const store::StoreError& error) {
    return parts_->problem(error);
  }
  const auto problems = each("", [&](const Record& record) {
    ++out.records;
    if (record.number != out.records) broken(out.records, "a record is missing here");
    if (record.previous != previous) broken(record.number, "it does not follow the record before it");
    if (record.hash != hash_of(record)) broken(record.number, "its contents are not those that were written");
    previous = record.hash;
    met = met || record.hash == expected_hash;
  });
  if (!problems.empty()) return problems;
  out.last_hash = previous;
  if (highest > out.records) broken(out.records + 1, "records were cut off the end");
  if (highest < out.records) broken(out.records, "the book counts fewer records than it holds");
  if (!met) broken(out.records + 1, "no record has the hash that was expected: records were cut off the end");
  return out;
}

Result<std::vector<ZoneCount>> Casebook::closed_cases() const {
  // A cleaning is closed by the next recheck of that unit and side, unless another cleaning comes first.
  constexpr const char* kQuery = R"(
    SELECT c.side, c.surface, COUNT(*) FROM record c
    WHERE c.kind = 'cleaned' AND c.surface <> '' AND
      (SELECT r.kind || ' ' || r.outcome FROM record r
       WHERE r.unit = c.unit AND r.number > c.number AND r.head = c.head AND r.side = c.side
         AND (r.kind = 'cleaned' OR (r.kind = 'recheck' AND r.outcome <> 'look_again'))
       ORDER BY r.number LIMIT 1) IN ('recheck close', 'recheck print_on')
    GROUP BY c.side, c.surface ORDER BY c.surface, c.side)";
  try {
    auto rows = parts_->database.prepare(kQuery);
    std::vector<ZoneCount> out;
    while (rows.step()) out.push_back({rows.text(0), rows.text(1), rows.whole(2)});
    return out;
  } catch (const store::StoreError& error) {
    return parts_->problem(error);
  }
}

}  // namespace scrapetrace::casebook
