#include "triage/worklist.h"

namespace scrapetrace::triage {

namespace {

constexpr const char* kTables = R"(
  PRAGMA locking_mode = EXCLUSIVE;
  CREATE TABLE IF NOT EXISTS setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS entry (name TEXT, file TEXT, standing INTEGER NOT NULL, why TEXT NOT NULL,
    PRIMARY KEY (name, file)) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS line (name TEXT PRIMARY KEY, hash TEXT NOT NULL, settled INTEGER NOT NULL,
    part INTEGER NOT NULL, score REAL NOT NULL, json TEXT NOT NULL) WITHOUT ROWID;
  CREATE INDEX IF NOT EXISTS by_rank ON line (part, score DESC, name);
)";

}  // namespace

Worklist::Worklist(const std::string& path, const std::string& settings)
    : database_(path, store::Database::Open::create), settings_(settings) {
  database_.run(kTables);
  database_.prepare("INSERT OR IGNORE INTO setting VALUES ('run', ?)").text(1, settings).run();
}

bool Worklist::same_settings() {
  auto query = database_.prepare("SELECT value FROM setting WHERE name = 'run'");
  return query.step() && query.text(0) == settings_;
}

void Worklist::begin_listing() {
  database_.run("BEGIN IMMEDIATE; DELETE FROM entry;");
}

void Worklist::list(const Input& input) {
  database_.prepare("INSERT OR IGNORE INTO entry VALUES (?, ?, ?, ?)")
      .text(1, input.name)
      .text(2, input.file)
      .whole(3, static_cast<int>(input.standing))
      .text(4, input.why)
      .run();
}

void Worklist::end_listing() {
  database_.run("DELETE FROM line WHERE name NOT IN (SELECT name FROM entry); COMMIT;");
}

std::int64_t Worklist::cases() {
  auto query = database_.prepare("SELECT COUNT(DISTINCT name) FROM entry");
  query.step();
  return query.whole(0);
}

std::int64_t Worklist::settled_lines() {
  auto query = database_.prepare("SELECT COUNT(*) FROM line WHERE settled");
  query.step();
  return query.whole(0);
}

std::optional<std::string> Worklist::next_after(const std::string& name) {
  auto query = database_.prepare("SELECT name FROM entry WHERE name > ? ORDER BY name LIMIT 1");
  if (!query.text(1, name).step()) return std::nullopt;
  return query.text(0);
}

std::vector<Input> Worklist::inputs_of(const std::string& name) {
  auto query = database_.prepare("SELECT file, standing, why FROM entry WHERE name = ? ORDER BY file");
  query.text(1, name);
  std::vector<Input> inputs;
  while (query.step())
    inputs.push_back({name, query.text(0), static_cast<Standing>(query.whole(1)), query.text(2)});
  return inputs;
}

std::string Worklist::key_of(const std::string& name, bool settled) {
  auto query = database_.prepare("SELECT hash FROM line WHERE name = ? AND settled >= ?");
  return query.text(1, name).whole(2, settled ? 1 : 0).step() ? query.text(0) : std::string();
}

void Worklist::put(const Line& line) {
  database_.prepare("INSERT OR REPLACE INTO line VALUES (?, ?, ?, ?, ?, ?)")
      .text(1, line.name)
      .text(2, line.key)
      .whole(3, line.settled ? 1 : 0)
      .whole(4, line.group)
      .real(5, line.score)
      .text(6, line.json)
      .run();
}

void Worklist::each_line(const std::function<void(const Line&)>& visit) {
  auto query = database_.prepare(
      "SELECT name, hash, settled, part, score, json FROM line ORDER BY part, score DESC, name");
  while (query.step()) {
    visit({query.text(0), query.text(1), query.whole(2) != 0, static_cast<int>(query.whole(3)), query.real(4),
           query.text(5)});
  }
}

}  // namespace scrapetrace::triage
