#include "store/sqlite.h"

#include <sqlite3.h>

namespace scrapetrace::store {

namespace {

constexpr int kWait_ms = 2000;           // for another process's lock
constexpr int kMostSteps = 200'000'000;  // virtual-machine steps of one statement: some seconds; a row of a
                                         // large book takes some thirty
constexpr sqlite3_int64 kMostMemory = 256 << 20;  // for all databases of the process

[[noreturn]] void fail(sqlite3* database) {
  throw StoreError(database != nullptr ? sqlite3_errmsg(database) : "out of memory");
}

int flags_of(Database::Open how) {
  if (how == Database::Open::read_only) return SQLITE_OPEN_READONLY;
  return SQLITE_OPEN_READWRITE | (how == Database::Open::create ? SQLITE_OPEN_CREATE : 0);
}

}  // namespace

void Statement::Finish::operator()(sqlite3_stmt* statement) const {
  sqlite3_finalize(statement);
}

void Statement::check(int result) const {
  if (result != SQLITE_OK) fail(database_);
}

Statement::Statement(sqlite3* database, std::string_view sql) : database_(database) {
  sqlite3_stmt* statement = nullptr;
  const int result =
      sqlite3_prepare_v2(database, sql.data(), static_cast<int>(sql.size()), &statement, nullptr);
  statement_.reset(statement);
  check(result);
}

Statement& Statement::text(int parameter, std::string_view value) {
  check(sqlite3_bind_text64(statement_.get(), parameter, value.data(), value.size(), SQLITE_TRANSIENT,
                            SQLITE_UTF8));
  return *this;
}

Statement& Statement::blob(int parameter, std::string_view value) {
  check(sqlite3_bind_blob64(statement_.get(), parameter, value.data(), value.size(), SQLITE_TRANSIENT));
  return *this;
}

Statement& Statement::whole(int parameter, std::int64_t value) {
  check(sqlite3_bind_int64(statement_.get(), parameter, value));
  return *this;
}

Statement& Statement::real(int parameter, double value) {
  check(sqlite3_bind_double(statement_.get(), parameter, value));
  return *this;
}

bool Statement::step() {
  const int result = sqlite3_step(statement_.get());
  if (result == SQLITE_ROW) return true;
  if (result != SQLITE_DONE) fail(database_);
  return false;
}

void Statement::run() {
  while (step()) {
  }
  check(sqlite3_reset(statement_.get()));
}

std::string Statement::text(int column) const {
  const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement_.get(), column));
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
  return bytes == nullptr ? std::string() : std::string(bytes, size);
}

std::int64_t Statement::whole(int column) const {
  return sqlite3_column_int64(statement_.get(), column);
}

double Statement::real(int column) const {
  return sqlite3_column_double(statement_.get(), column);
}

void Database::Close::operator()(sqlite3* database) const {
  sqlite3_close_v2(database);
}

Database::Database(const std::string& path, Open how) {
  sqlite3* database = nullptr;
  const int result = sqlite3_open_v2(path.c_str(), &database, flags_of(how), nullptr);
  database_.reset(database);
  if (result != SQLITE_OK) fail(database);
  sqlite3_busy_timeout(database, kWait_ms);
  sqlite3_db_config(database, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(database, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  run("PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA;");
}

void Database::run(const char* sql) {
  if (sqlite3_exec(database_.get(), sql, nullptr, nullptr, nullptr) != SQLITE_OK) fail(database_.get());
}

Statement Database::prepare(std::string_view sql) {
  return {database_.get(), sql};
}

void Database::distrust() {
  sqlite3* database = database_.get();
  sqlite3_db_config(database, SQLITE_DBCONFIG_ENABLE_VIEW, 0, nullptr);
  sqlite3_limit(database, SQLITE_LIMIT_LENGTH, kMostBytes);
  sqlite3_hard_heap_limit64(kMostMemory);
  // SQLite calls this after so many virtual-machine steps; a non-zero result aborts the statement.
  sqlite3_progress_handler(
      database, kMostSteps, [](void*) { return 1; }, nullptr);
}

std::int64_t Database::changes() const {
  return sqlite3_changes64(database_.get());
}

Transaction::Transaction(Database& database) : database_(&database) {
  database.run("BEGIN IMMEDIATE");
}

Transaction::~Transaction() {
  if (database_ == nullptr) return;
  try {
    database_->run("ROLLBACK");
  } catch (const StoreError&) {  // not committed: SQLite rolls back at the next opening
    database_ = nullptr;
  }
}

void Transaction::commit() {
  database_->run("COMMIT");
  database_ = nullptr;
}

std::string sqlite_version() {
  return sqlite3_libversion();
}

}  // namespace scrapetrace::store
