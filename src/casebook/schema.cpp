#include "casebook/schema.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <map>
#include <string_view>

#include "base/wording.h"

namespace scrapetrace::casebook {

namespace {

constexpr std::uint32_t kFormat = 1;
constexpr std::uint32_t kApplication = 1396921936;  // "SCRP"
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

// Offsets in the header.
constexpr std::size_t kHeader = 100;
constexpr std::size_t kWriteVersion = 18;
constexpr std::size_t kReadVersion = 19;
constexpr std::size_t kEncoding = 56;
constexpr std::size_t kUserVersion = 60;
constexpr std::size_t kApplicationId = 68;
constexpr std::string_view kMagic{"SQLite format 3\0", 16};

std::uint32_t big_endian(const std::array<char, kHeader>& header, std::size_t at) {
  std::uint32_t out = 0;
  for (std::size_t i = at; i < at + 4; ++i) out = out << 8U | static_cast<unsigned char>(header[i]);
  return out;
}

// (Type, name) to (table, SQL text).
using Schema = std::map<std::string, std::pair<std::string, std::string>>;
Schema schema_of(store::Database& database) {
  auto rows = database.prepare("SELECT type, name, tbl_name, sql FROM sqlite_schema");
  Schema out;
  while (rows.step()) {
    constexpr std::size_t kMost = 16;  // more than our six entries
    out[rows.text(0) + " " + rows.text(1)] = {rows.text(2), rows.text(3)};
    if (out.size() > kMost) break;
  }
  return out;
}

}  // namespace

std::optional<std::string> wrong_with_header(const std::string& path) {
  const std::string other = "is no casebook of this program's; name another file";
  if (!std::filesystem::is_regular_file(path)) return other;
  std::ifstream file(path, std::ios::binary);
  if (!file) return "cannot be read; check its permissions";
  std::array<char, kHeader> header{};
  file.read(header.data(), header.size());
  if (file.gcount() == 0) return {};
  if (!file || std::string_view(header.data(), kMagic.size()) != kMagic) return other;
  if (big_endian(header, kApplicationId) != kApplication || big_endian(header, kUserVersion) != kFormat)
    return other;
  if (header[kWriteVersion] != 1 || header[kReadVersion] != 1) {
    return "is kept with a write-ahead log, which this program never makes: records could be lost with the "
           "power. "
           "Somebody changed it with another program; there, \"PRAGMA journal_mode = DELETE\" turns it back";
  }
  if (big_endian(header, kEncoding) != 1)
    return "does not hold its text as UTF-8, as this program writes it; go back to a copy of your own";
  return {};
}

void make_tables(store::Database& database) {
  database.run(kTables);
}

std::optional<std::string> wrong_with_schema(store::Database& database) {
  store::Database own(":memory:", store::Database::Open::create);
  make_tables(own);
  const Schema wanted = schema_of(own);
  const Schema met = schema_of(database);
  const auto told = [](const std::string& what) {
    return what +
           ". Somebody changed its form with another program, so that its records prove nothing; go back to "
           "a "
           "copy of your own";
  };
  for (const auto& [name, text] : wanted) {
    const auto found = met.find(name);
    if (found == met.end()) return told("lacks the " + name);
    if (found->second != text) return told("has another " + name + " than this program makes");
  }
  for (const auto& [name, text] : met) {
    if (!wanted.contains(name)) return told("holds what this program never makes: " + in_quotes(name));
  }
  return {};
}

}  // namespace scrapetrace::casebook
