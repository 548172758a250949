// What a database promises: values, transactions, locks, and limits for files of others. Expected values are
// from SQLite's documentation (https://www.sqlite.org), named beside the checks.

#include "store/sqlite.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <limits>

#include "support/oracle.h"

namespace scrapetrace::store {
namespace {

namespace fs = std::filesystem;

class Sqlite : public ::testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] Database open(Database::Open how = Database::Open::create) const {
    return {file_.string(), how};
  }
  static std::int64_t number(Database& database, const std::string& query) {
    Statement statement = database.prepare(query);
    EXPECT_TRUE(statement.step()) << query;
    return statement.whole(0);
  }

  const fs::path folder_ = fs::path(::testing::TempDir()) / ("store" + std::to_string(getpid()));
  const fs::path file_ = folder_ / "some.db";
};

TEST_F(Sqlite, ReturnsValuesAsBound) {
  Database database = open();
  database.run("CREATE TABLE t (a TEXT, b BLOB, c INTEGER, d REAL, e TEXT)");
  const std::string text("Gr\xC3\xBC\xC3\x9F\0e", 9);
  const std::string blob("\x00\xFF\x80", 3);
  Statement insert = database.prepare("INSERT INTO t VALUES (?, ?, ?, ?, NULL)");
  insert.text(1, text).blob(2, blob).whole(3, std::numeric_limits<std::int64_t>::min()).real(4, 0.1).run();
  insert.text(1, "").blob(2, "").whole(3, std::numeric_limits<std::int64_t>::max()).real(4, -1e300).run();

  Statement rows = database.prepare("SELECT a, b, c, d, e FROM t ORDER BY c");
  ASSERT_TRUE(rows.step());
  EXPECT_EQ(rows.text(0), text);
  EXPECT_EQ(rows.text(1), blob);
  EXPECT_EQ(rows.whole(2), std::numeric_limits<std::int64_t>::min());
  EXPECT_EQ(rows.real(3), 0.1);
  EXPECT_EQ(rows.text(4), "");
  ASSERT_TRUE(rows.step());
  EXPECT_EQ(rows.text(0), "");
  EXPECT_EQ(rows.whole(2), std::numeric_limits<std::int64_t>::max());
  EXPECT_EQ(rows.real(3), -1e300);
  EXPECT_FALSE(rows.step());
}

TEST_F(Sqlite, BindsTextThatIsNoSql) {
  Database database = open();
  database.run("CREATE TABLE t (a TEXT)");
  database.prepare("INSERT INTO t VALUES (?)").text(1, "'); DROP TABLE t; --").run();
  EXPECT_EQ(number(database, "SELECT COUNT(*) FROM t WHERE a = '''); DROP TABLE t; --'"), 1);
}

TEST_F(Sqlite, CountsChangedRows) {
  Database database = open();
  database.run("CREATE TABLE t (a INTEGER); INSERT INTO t VALUES (1), (2), (3), (4)");
  database.run("UPDATE t SET a = 0 WHERE a > 1");
  EXPECT_EQ(database.changes(), 3);
  database.run("DELETE FROM t WHERE a = 7");
  EXPECT_EQ(database.changes(), 0);
}

TEST_F(Sqlite, KeepsOnlyCommittedTransactions) {
  {
    Database database = open();
    database.run("CREATE TABLE t (a INTEGER)");
    {
      Transaction undone(database);
      database.run("INSERT INTO t VALUES (1)");
    }
    EXPECT_EQ(number(database, "SELECT COUNT(*) FROM t"), 0);
    Transaction kept(database);
    database.run("INSERT INTO t VALUES (2)");
    kept.commit();
  }
  Database again = open(Database::Open::existing);
  EXPECT_EQ(number(again, "SELECT SUM(a) FROM t"), 2);
}

TEST_F(Sqlite, OpensAsAsked) {
  EXPECT_THROW(open(Database::Open::existing).run("SELECT * FROM sqlite_schema"), StoreError);
  EXPECT_FALSE(fs::exists(file_));
  open().run("CREATE TABLE t (a INTEGER)");
  EXPECT_TRUE(fs::exists(file_));
  Database reader = open(Database::Open::read_only);
  EXPECT_EQ(number(reader, "SELECT COUNT(*) FROM t"), 0);
  EXPECT_THROW(reader.run("INSERT INTO t VALUES (1)"), StoreError);
}

TEST_F(Sqlite, SaysWhatIsWrong) {
  Database database = open();
  try {
    database.run("SELECT * FROM missing");
    FAIL() << "a query of a missing table succeeded";
  } catch (const StoreError& error) {
    EXPECT_STREQ(error.what(), "no such table: missing");
  }
  std::ofstream(folder_ / "text.db") << std::string(200, 'x');
  EXPECT_THROW(
      Database((folder_ / "text.db").string(), Database::Open::existing).run("SELECT * FROM sqlite_schema"),
      StoreError);
}

// Lock states: https://www.sqlite.org/lockingv3.html. One connection at a time may hold RESERVED.
TEST_F(Sqlite, AllowsOneWriterAtATime) {
  Database one = open();
  one.run("CREATE TABLE t (a INTEGER)");
  Database two = open();
  {
    Transaction writing(one);
    one.run("INSERT INTO t VALUES (1)");
    EXPECT_EQ(number(two, "SELECT COUNT(*) FROM t"), 0);
    EXPECT_THROW(Transaction blocked(two), StoreError);
    writing.commit();
  }
  EXPECT_NO_THROW(Transaction free(two));
  EXPECT_EQ(number(two, "SELECT COUNT(*) FROM t"), 1);
}

// https://www.sqlite.org/pragma.html: synchronous EXTRA is 3; a rollback journal of the default mode.
TEST_F(Sqlite, SyncsAgainstLossOfPower) {
  Database database = open();
  EXPECT_EQ(number(database, "PRAGMA synchronous"), 3);
  EXPECT_EQ(number(database, "PRAGMA foreign_keys"), 1);
  Statement mode = database.prepare("PRAGMA journal_mode");
  ASSERT_TRUE(mode.step());
  EXPECT_EQ(mode.text(0), "delete");
}

// https://www.sqlite.org/c3ref/c_dbconfig_defensive.html, SQLITE_DBCONFIG_DEFENSIVE and TRUSTED_SCHEMA.
TEST_F(Sqlite, KeepsASchemaFromHarm) {
  Database database = open();
  database.run("CREATE TABLE t (a INTEGER)");
  EXPECT_EQ(number(database, "PRAGMA trusted_schema"), 0);
  EXPECT_THROW(database.run("PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = 'x'"), StoreError);
}

TEST_F(Sqlite, LimitsFilesOfOthers) {
  open().run("CREATE TABLE t (a BLOB); CREATE VIEW v AS SELECT 1 AS a");
  const auto fill = [](Database& database, int bytes) {
    database.prepare("INSERT INTO t VALUES (zeroblob(?))").whole(1, bytes).run();
  };
  Database ours = open();
  EXPECT_EQ(number(ours, "SELECT a FROM v"), 1);
  EXPECT_NO_THROW(fill(ours, Database::kMostBytes + 1));
  Database theirs = open();
  theirs.distrust();
  EXPECT_THROW(number(theirs, "SELECT a FROM v"), StoreError);
  EXPECT_THROW(number(theirs, "SELECT length(CAST(a AS TEXT)) FROM t"), StoreError);
  EXPECT_THROW(fill(theirs, Database::kMostBytes + 1), StoreError);
  EXPECT_NO_THROW(fill(theirs, Database::kMostBytes / 2));
  EXPECT_THROW(number(theirs,
                      "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) "
                      "SELECT COUNT(*) FROM n"),
               StoreError);
}

// Python's sqlite3 module reads the file; its first 16 bytes are those of
// https://www.sqlite.org/fileformat2.html, 1.3.1.
TEST_F(Sqlite, WritesAFileThatOtherProgramsRead) {
  open().run("CREATE TABLE t (a INTEGER, b REAL); INSERT INTO t VALUES (7, 0.5), (-3, 2.25)");
  std::ifstream in(file_, std::ios::binary);
  std::string magic(16, ' ');
  in.read(magic.data(), 16);
  EXPECT_EQ(magic, std::string("SQLite format 3\0", 16));
  EXPECT_EQ(scrapetrace::testing::ask_oracle("store/oracle.py", file_.string()),
            (std::vector<double>{-3, 2.25, 7, 0.5}));
}

}  // namespace
}  // namespace scrapetrace::store
