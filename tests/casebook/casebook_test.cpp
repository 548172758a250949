#include "casebook/casebook.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "casebook/zone_priors.h"
#include "hash/sha256.h"
#include "store/sqlite.h"

namespace scrapetrace::casebook {
namespace {

std::string fresh() {
  static int n = 0;
  const std::string path =
      testing::TempDir() + "/book" + std::to_string(getpid()) + "-" + std::to_string(++n) + ".sqlite";
  std::filesystem::remove(path);
  return path;
}

Record record(const std::string& unit, const std::string& kind, const std::string& outcome = "") {
  Record out;
  out.unit = unit;
  out.kind = kind;
  out.at = "2025-03-01T14:05:09Z";
  out.who = "Ona";
  out.summary = "as it was";
  out.body = "{}";
  out.outcome = outcome;
  if (kind == "cleaned" || kind == "recheck") {
    out.head = "3";
    out.side = "left";
  }
  if (kind == "cleaned") out.surface = "faceplate";
  return out;
}

Casebook book_of(const std::string& path, std::vector<Record> records) {
  auto book = Casebook::open(path, true);
  EXPECT_TRUE(book.ok());
  Casebook out = std::move(book).value();
  EXPECT_TRUE(out.add(std::move(records)).ok());
  return out;
}

// Behind the program's back: the triggers are put back afterwards, as they were.
void tamper(const std::string& path, const char* sql) {
  store::Database database(path, store::Database::Open::existing);
  std::vector<std::string> triggers;
  {
    auto rows = database.prepare("SELECT sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name");
    while (rows.step()) triggers.push_back(rows.text(0));
  }
  database.run("DROP TRIGGER record_is_kept; DROP TRIGGER record_stays;");
  database.run(sql);
  for (const auto& trigger : triggers) database.run(trigger.c_str());
}

std::string slurp(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

// What the program says of a book that is opened, checked, read and added to; a copy, so that the original
// stays.
struct Told {
  std::string opened;
  std::string checked;
  std::string added;
  std::int64_t records = 0;
};
Told told_of(const std::filesystem::path& original) {
  const auto words = [](const Problems& problems) { return problems.front().what; };
  const std::string path = fresh();
  std::filesystem::copy_file(original, path);
  Told out;
  if (const auto book = Casebook::open(path, false); !book) {
    out.opened = out.checked = out.added = words(book.problems());
    EXPECT_FALSE(Casebook::open(path, true).ok());
    EXPECT_EQ(slurp(path), slurp(original));
    return out;
  }
  const auto chain = Casebook::open(path, false).value().verify("");
  if (!chain) out.checked = words(chain.problems());
  if (chain && chain->broken > 0)
    out.checked = "broken at record " + std::to_string(chain->broken) + ": " + chain->why;
  auto book = Casebook::open(path, true).value();
  const auto added = book.add({record("W-17", "note")});
  if (!added) out.added = words(added.problems());
  const auto problems = book.each("", [&](const Record&) { ++out.records; });
  return out;
}

Verification verified(const std::string& path, const std::string& expected = "") {
  return Casebook::open(path, false).value().verify(expected).value();
}

TEST(Casebook, RecordsAreChained) {
  const std::string path = fresh();
  book_of(path, {record("a", "note"), record("b", "note"), record("a", "note")});
  std::vector<Record> all;
  EXPECT_TRUE(
      Casebook::open(path, false).value().each("", [&](const Record& r) { all.push_back(r); }).empty());
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(all[0].previous, "");
  EXPECT_EQ(all[1].previous, all[0].hash);
  // The documented form, spelt out for a record of which most fields are empty.
  EXPECT_EQ(all[0].hash,
            hash::sha256("0:1:11:a4:note20:2025-03-01T14:05:09Z3:Ona0:0:0:0:0:0:0:9:as it was2:{}0:"));
  EXPECT_EQ(verified(path).broken, 0);
  EXPECT_EQ(verified(path).last_hash, all[2].hash);
  int of_a = 0;
  EXPECT_TRUE(Casebook::open(path, false).value().each("a", [&](const Record&) { ++of_a; }).empty());
  EXPECT_EQ(of_a, 2);
}

TEST(Casebook, RefusesChangesAndDeletions) {
  const std::string path = fresh();
  book_of(path, {record("a", "note")});
  store::Database database(path, store::Database::Open::existing);
  EXPECT_THROW(database.run("UPDATE record SET who = 'x'"), store::StoreError);
  EXPECT_THROW(database.run("DELETE FROM record"), store::StoreError);
}

TEST(Casebook, VerifyNamesTheFirstBrokenRecord) {
  for (const auto& [sql, broken] :
       {std::pair{"UPDATE record SET summary = 'all fine' WHERE number = 2", 2},
        std::pair{"UPDATE record SET picture = x'00' WHERE number = 3", 3},
        std::pair{"DELETE FROM record WHERE number = 2", 2},
        std::pair{
            "UPDATE record SET number = 9 WHERE number = 3; UPDATE record SET number = 3 WHERE number = 2;"
            "UPDATE record SET number = 2 WHERE number = 9",
            2}}) {
    const std::string path = fresh();
    book_of(path, {record("a", "note"), record("b", "note"), record("c", "note"), record("d", "note")});
    tamper(path, sql);
    EXPECT_EQ(verified(path).broken, broken) << sql;
  }
}

TEST(Casebook, ANotedHashShowsWhatWasCutOffTheEnd) {
  const std::string path = fresh();
  book_of(path, {record("a", "note"), record("b", "note")});
  const std::string noted = verified(path).last_hash;
  tamper(path, "DELETE FROM record WHERE number = 2");
  EXPECT_EQ(verified(path).broken, 2);  // by the count that the file keeps
  tamper(path, "UPDATE sqlite_sequence SET seq = 1");
  EXPECT_EQ(verified(path).broken, 0);
  EXPECT_EQ(verified(path, noted).broken, 2);
}

// A workshop is sent a casebook: opened, checked or added to, each of these would have lost records without a
// word, hung, taken gigabytes, or been called whole.
TEST(Casebook, FromSomebodyElseIsRefusedWithTheReason) {
  std::size_t seen = 0;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(SCRAPETRACE_SOURCE_DIR) + "/fixtures/bad_casebooks")) {
    if (entry.path().extension() != ".sqlite") continue;
    ++seen;
    auto expected = entry.path();
    std::string words = slurp(expected.replace_extension(".expected"));
    ASSERT_FALSE(words.empty()) << entry.path();
    words.pop_back();
    const Told told = told_of(entry.path());
    EXPECT_NE(told.checked.find(words), std::string::npos) << entry.path() << ": " << told.checked;
    EXPECT_NE(told.added, "") << entry.path();
  }
  EXPECT_GE(seen, 15U);
}

TEST(Casebook, OfOursIsTakenUpWhereItWas) {
  const Told told = told_of(std::string(SCRAPETRACE_SOURCE_DIR) + "/fixtures/casebooks/three_records.sqlite");
  EXPECT_EQ(told.opened + told.checked + told.added, "");
  EXPECT_EQ(told.records, 4);
}

TEST(Casebook, ARowOfManyMegabytesIsNotRead) {
  const std::string path = fresh();
  book_of(path, {record("a", "note"), record("b", "note")});
  tamper(path, "UPDATE record SET body = zeroblob(20000000) WHERE number = 2");
  const Told told = told_of(path);
  EXPECT_NE(told.checked.find("too big"), std::string::npos) << told.checked;
  EXPECT_NE(told.added.find("too big"), std::string::npos) << told.added;
}

// An index that leaves a record out would hide it from whoever asks for the unit.
TEST(Casebook, AnIndexThatHidesARecordIsDamage) {
  const std::string path = fresh();
  book_of(path, {record("a", "note"), record("b", "note"), record("a", "note")});
  {
    store::Database database(path, store::Database::Open::existing);
    auto page = database.prepare("SELECT rootpage FROM sqlite_schema WHERE name = 'record_of_unit'");
    page.step();
    const auto number = page.whole(0);
    std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
    file.seekp((number - 1) * 4096 + 3);  // a page's count of cells: one less (fileformat2.html, 1.6)
    file.write("\0\2", 2);
  }
  int of_a = 0;
  EXPECT_TRUE(Casebook::open(path, false).value().each("a", [&](const Record&) { ++of_a; }).empty());
  EXPECT_EQ(of_a, 2);
  const Told told = told_of(path);
  EXPECT_NE(told.checked.find("damaged"), std::string::npos) << told.checked;
  EXPECT_NE(told.added.find("damaged"), std::string::npos) << told.added;
}

TEST(Casebook, WithoutAnyRecordIsNewOrBroken) {
  const std::string path = fresh();
  EXPECT_TRUE(Casebook::open(path, true).ok());
  EXPECT_EQ(verified(path).broken, 0);
  EXPECT_EQ(verified(path).records, 0);
  book_of(path, {record("a", "note")});
  tamper(path, "DELETE FROM record");
  EXPECT_EQ(verified(path).broken, 1);
}

TEST(Casebook, RefusesWhatIsNoCasebook) {
  EXPECT_FALSE(Casebook::open("/no/such/book", false).ok());
  const std::string path = fresh();
  store::Database(path, store::Database::Open::create).run("CREATE TABLE other (x)");
  EXPECT_FALSE(Casebook::open(path, true).ok());
}

TEST(Casebook, ACaseIsClosedByTheRecheckAfterItsCleaning) {
  const std::string path = fresh();
  const auto book =
      book_of(path, {record("a", "cleaned"), record("a", "recheck", "close"),        // counts
                     record("b", "cleaned"), record("b", "recheck", "clean_again"),  // does not
                     record("b", "cleaned"), record("b", "recheck", "look_again"),   // says nothing yet
                     record("b", "recheck", "print_on"),                             // counts
                     record("c", "cleaned"), record("d", "recheck", "close")});      // another unit
  const auto counts = book.closed_cases().value();
  ASSERT_EQ(counts.size(), 1U);
  EXPECT_EQ(counts[0].surface, "faceplate");
  EXPECT_EQ(counts[0].side, "left");
  EXPECT_EQ(counts[0].closed, 2);
}

Layout two_zones(double left, double right) {
  Layout out;
  out.zones = {{"faceplate", Side::left, -1, 2, left, 4}, {"faceplate", Side::right, -1, 2, right, 4}};
  return out;
}

TEST(ZonePriors, AreThePosteriorOfTheCounts) {
  std::vector<ZoneCount> unknown;
  // Dirichlet (1, 1) and 8 of 10 cases: Beta(9, 3), mean 0.75; 95 % from 0.482 to 0.940
  // (scipy.stats.beta.ppf([0.025, 0.975], 9, 3)).
  const auto priors =
      zone_priors(two_zones(0.5, 0.5), {{"left", "faceplate", 8}, {"right", "faceplate", 2}}, 2, unknown);
  EXPECT_NEAR(priors[0].mean, 0.75, 1e-12);
  EXPECT_NEAR(priors[0].low, 0.48224415, 1e-7);
  EXPECT_NEAR(priors[0].high, 0.93978226, 1e-7);
  EXPECT_NEAR(priors[0].mean + priors[1].mean, 1, 1e-12);
  EXPECT_TRUE(unknown.empty());
}

TEST(ZonePriors, WithoutCasesAreTheLayouts) {
  std::vector<ZoneCount> unknown;
  const auto priors = zone_priors(two_zones(0.9, 0.3), {{"left", "lid", 3}}, 10, unknown);
  EXPECT_NEAR(priors[0].mean, 0.75, 1e-12);
  ASSERT_EQ(unknown.size(), 1U);
  EXPECT_EQ(unknown[0].surface, "lid");
}

}  // namespace
}  // namespace scrapetrace::casebook
