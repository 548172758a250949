#pragma once
// RAII wrappers for SQLite. They throw StoreError; higher layers turn it into problems.

#include <cstdint>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace scrapetrace::store {

class StoreError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

// A prepared statement. Parameters count from 1, columns from 0.
class Statement {
 public:
  Statement(sqlite3* database, std::string_view sql);
  Statement& text(int parameter, std::string_view value);
  Statement& blob(int parameter, std::string_view value);
  Statement& whole(int parameter, std::int64_t value);
  Statement& real(int parameter, double value);
  bool step();                                       // true while there is a row
  void run();                                        // to the end; then ready for new parameters
  [[nodiscard]] std::string text(int column) const;  // text or blob; empty for null
  [[nodiscard]] std::int64_t whole(int column) const;
  [[nodiscard]] double real(int column) const;

 private:
  struct Finish {
    void operator()(sqlite3_stmt* statement) const;
  };
  void check(int result) const;
  sqlite3* database_;
  std::unique_ptr<sqlite3_stmt, Finish> statement_;
};

class Database {
 public:
  enum class Open { read_only, existing, create };
  // One writer at a time. Committed data survives a kill and a loss of power (rollback journal, synchronous =
  // extra). The file's schema cannot call functions with side effects or write to the schema
  // (https://www.sqlite.org/security.html, "Untrusted SQLite Database Files").
  Database(const std::string& path, Open how);
  void run(const char* sql);
  Statement prepare(std::string_view sql);
  // For a file from somebody else: no views, no row above kMostBytes, no statement longer than some seconds.
  void distrust();
  static constexpr int kMostBytes = 8 << 20;
  // Rows changed by the last INSERT, UPDATE or DELETE.
  [[nodiscard]] std::int64_t changes() const;

 private:
  struct Close {
    void operator()(sqlite3* database) const;
  };
  std::unique_ptr<sqlite3, Close> database_;
};

// Rolled back unless committed.
class Transaction {
 public:
  explicit Transaction(Database& database);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void commit();

 private:
  Database* database_;
};

std::string sqlite_version();

}  // namespace scrapetrace::store
