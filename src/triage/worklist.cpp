#include "triage/worklist.h"

namespace scrapetrace::triage {

namespace {

constexpr const char* kTables = R"(
  PRAGMA locking_mode = EXCLUSIVE;
  CREATE TABLE IF NOT EXISTS setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS entry (name TEXT, file TEXT, PRIMARY KEY (name, file)) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS line (name TEXT PRIMARY KEY, hash TEXT NOT NULL, part INTEGER NOT NULL,
    score REAL NOT NULL, failed INTEGER NOT NULL, json TEXT NOT NULL, markup TEXT NOT NULL,
    sentence TEXT NOT NULL) WITHOUT ROWID;
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

void Worklist::list(const std::string& name, const std::string& file) {
  database_.prepare("INSERT OR IGNORE INTO entry VALUES (?, ?)").text(1, name).text(2, file).run();
}

void Worklist::end_listing() {
  database_.run("DELETE FROM line WHERE name NOT IN (SELECT name FROM entry); COMMIT;");
}

std::int64_t Worklist::cases() {
  auto query = database_.prepare("SELECT COUNT(DISTINCT name) FROM entry");
  query.step();
  return query.whole(0);
}

std::int64_t Worklist::lines() {
  auto query = database_.prepare("SELECT COUNT(*) FROM line");
  query.step();
  return query.whole(0);
}

std::optional<std::string> Worklist::next_after(const std::string& name) {
  auto query = database_.prepare("SELECT name FROM entry WHERE name > ? ORDER BY name LIMIT 1");
  if (!query.text(1, name).step()) return std::nullopt;
  return query.text(0);
}

std::vector<std::string> Worklist::files_of(const std::string& name) {
  auto query = database_.prepare("SELECT file FROM entry WHERE name = ? ORDER BY file");
  query.text(1, name);
  std::vector<std::string> files;
  while (query.step()) files.push_back(query.text(0));
  return files;
}

std::string Worklist::key_of(const std::string& name) {
  auto query = database_.prepare("SELECT hash FROM line WHERE name = ?");
  return query.text(1, name).step() ? query.text(0) : std::string();
}

void Worklist::put(const Line& line) {
  database_.prepare("INSERT OR REPLACE INTO line VALUES (?, ?, ?, ?, ?, ?, ?, ?)")
      .text(1, line.name)
      .text(2, line.key)
      .whole(3, line.group)
      .real(4, line.score)
      .whole(5, line.failed ? 1 : 0)
      .text(6, line.json)
      .text(7, line.row)
      .text(8, line.sentence)
      .run();
}

void Worklist::each_line(const std::function<void(const Line&)>& visit) {
  auto query = database_.prepare(
      "SELECT name, hash, part, score, failed, json, markup, sentence FROM line ORDER BY part, score DESC, "
      "name");
  while (query.step()) {
    visit({query.text(0), query.text(1), static_cast<int>(query.whole(2)), query.real(3), query.whole(4) != 0,
           query.text(5), query.text(6), query.text(7)});
  }
}

}  // namespace scrapetrace::triage
