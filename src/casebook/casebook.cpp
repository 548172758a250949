#include "casebook/casebook.h"

#include <array>
#include <filesystem>

#include "hash/sha256.h"
#include "store/sqlite.h"

namespace scrapetrace::casebook {

namespace {

constexpr std::int64_t kFormat = 1;
constexpr const char* kTables = R"(
  CREATE TABLE record (
    number INTEGER PRIMARY KEY AUTOINCREMENT, unit TEXT NOT NULL, kind TEXT NOT NULL, at TEXT NOT NULL,
    who TEXT NOT NULL, tool_version TEXT NOT NULL, layout TEXT NOT NULL, layout_sha256 TEXT NOT NULL,
    head TEXT NOT NULL, side TEXT NOT NULL, surface TEXT NOT NULL, outcome TEXT NOT NULL,
    summary TEXT NOT NULL, body TEXT NOT NULL, picture BLOB NOT NULL, previous TEXT NOT NULL, hash TEXT NOT NULL);
  CREATE INDEX record_of_unit ON record (unit, number);
  CREATE TRIGGER record_is_kept BEFORE DELETE ON record
    BEGIN SELECT RAISE(ABORT, 'records are never deleted'); END;
  CREATE TRIGGER record_stays BEFORE UPDATE ON record
    BEGIN SELECT RAISE(ABORT, 'records are never changed'); END;
  PRAGMA application_id = 1396921936;
  PRAGMA user_version = 1;
)";
constexpr std::int64_t kApplication = 1396921936;  // "SCRP"

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
  try {
    using Open = store::Database::Open;
    auto parts = std::make_unique<Parts>(Parts{path, {path, create ? Open::create : Open::read_only}});
    auto& database = parts->database;
    if (create) {
      store::Transaction transaction(database);
      auto tables = database.prepare("SELECT COUNT(*) FROM sqlite_schema");
      tables.step();
      const bool empty = tables.whole(0) == 0;
      if (empty) database.run(kTables);
      transaction.commit();
    }
    auto application = database.prepare("PRAGMA application_id");
    auto version = database.prepare("PRAGMA user_version");
    application.step();
    version.step();
    if (application.whole(0) != kApplication || version.whole(0) != kFormat)
      return Problem{path, 0, 0, "is no casebook of this program's; name another file"};
    return Casebook(std::move(parts));
  } catch (const store::StoreError& error) {
    return Problem{path, 0, 0, std::string("cannot be used as a casebook: ") + error.what()};
  }
}

Problems Casebook::add(std::vector<Record> records) {
  try {
    store::Transaction transaction(parts_->database);
    auto last = parts_->database.prepare("SELECT number, hash FROM record ORDER BY number DESC LIMIT 1");
    const bool any = last.step();
    std::int64_t number = any ? last.whole(0) : 0;
    std::string previous = any ? last.text(1) : std::string();
    for (Record& record : records) {
      record.number = ++number;
      record.previous = previous;
      record.hash = hash_of(record);
      insert(parts_->database, record);
      previous = record.hash;
    }
    transaction.commit();
  } catch (const store::StoreError& error) {
    return {parts_->problem(error)};
  }
  return {};
}

Problems Casebook::each(const std::string& unit, const std::function<void(const Record&)>& visit) const {
  try {
    auto rows = parts_->database.prepare(std::string("SELECT ") + kColumns +
                                         " FROM record WHERE ?1 = '' OR unit = ?1 ORDER BY number");
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
  if (!met) broken(out.records + 1, "no record has the hash that was expected: records were cut off the end");
  return out;
}

Result<std::vector<ZoneCount>> Casebook::closed_cases() const {
  // The recheck that closes a cleaning is the next record about that unit and side of the kinds that count.
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
