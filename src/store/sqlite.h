#pragma once
// SQLite with resources that look after themselves. Everything here throws StoreError; the layers above turn
// it into problems.

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

// One prepared statement. Parameters count from 1, columns from 0.
class Statement {
 public:
  Statement(sqlite3* database, std::string_view sql);
  Statement& text(int parameter, std::string_view value);
  Statement& blob(int parameter, std::string_view value);
  Statement& whole(int parameter, std::int64_t value);
  Statement& real(int parameter, double value);
  bool step();                                       // true while there is a row
  void run();                                        // to the end, then ready for the next values
  [[nodiscard]] std::string text(int column) const;  // also of a blob; empty for null
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
  // One process at a time writes; whatever was committed survives a kill and a loss of power (rollback
  // journal, synchronous = extra). The file's own schema gets no say beyond its tables: neither functions
  // with side effects nor writes to the schema (https://www.sqlite.org/security.html, "Untrusted SQLite
  // Database Files").
  Database(const std::string& path, Open how);
  void run(const char* sql);
  Statement prepare(std::string_view sql);
  // For a file that somebody else may have made: no views, no row above kMostBytes, and no statement that
  // works on for more than some seconds.
  void distrust();
  static constexpr int kMostBytes = 8 << 20;
  // Rows that the last INSERT, UPDATE or DELETE changed.
  [[nodiscard]] std::int64_t changes() const;

 private:
  struct Close {
    void operator()(sqlite3* database) const;
  };
  std::unique_ptr<sqlite3, Close> database_;
};

// Undone unless committed.
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
