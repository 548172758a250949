#pragma once
// A workshop's records of its units in one SQLite file: scans, findings, cleanings, rechecks and verdicts, by
// whom and when. Records are append-only: triggers refuse updates and deletions, and each record holds the
// hash of the previous one, so that tampering shows.
//
// A record's hash is SHA-256 over its fields in the order of Record, each as its length in bytes, a colon and
// the bytes, starting with the previous hash (empty for the first).

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/result.h"

namespace scrapetrace::casebook {

struct Record {
  std::int64_t number = 0;  // 1, 2, ..., given by add()
  std::string unit;         // which machine
  std::string kind;         // scan, finding, cleaned, recheck, verdict, note
  std::string at;           // UTC, as in 2025-03-01T14:05:09Z
  std::string who;
  std::string tool_version;
  std::string layout;         // name; empty where none was used
  std::string layout_sha256;  // of the file
  std::string head;           // that was cleaned or rechecked
  std::string side;
  std::string surface;
  std::string outcome;   // next step of a recheck; pass, fail or cannot_judge of a verdict
  std::string summary;   // one sentence
  std::string body;      // JSON
  std::string picture;   // PNG thumbnail of a scan
  std::string previous;  // hash of the previous record
  std::string hash;
};

std::string hash_of(const Record& record);

struct Verification {
  std::int64_t records = 0;  // 0: never any; a book whose records were all deleted is broken
  std::int64_t broken = 0;   // the first record that was altered; 0: none
  std::string why;
  std::string last_hash;  // store it elsewhere, to prove later that no record was cut off the end
};

// How often cleaning a zone closed a case: a record "cleaned", then for the same unit and head side a recheck
// that closed it before any other cleaning there.
struct ZoneCount {
  std::string side;
  std::string surface;
  std::int64_t closed = 0;
};

class Casebook {
 public:
  // `create` makes a missing file. Problems: no such file, not a casebook (book_form.h), damaged, in use.
  // Safe for files from somebody else.
  static Result<Casebook> open(const std::string& path, bool create);
  Casebook(Casebook&&) noexcept;
  Casebook& operator=(Casebook&&) noexcept;
  ~Casebook();

  // Adds all records in one transaction, filling in numbers and hashes, and returns the last hash. Refuses to
  // extend a broken chain.
  Result<std::string> add(std::vector<Record> records);
  // Visits records in order; an empty `unit` means all units.
  Problems each(const std::string& unit, const std::function<void(const Record&)>& visit) const;
  // A non-empty `expected_hash` must be the hash of some record.
  [[nodiscard]] Result<Verification> verify(const std::string& expected_hash) const;
  [[nodiscard]] Result<std::vector<ZoneCount>> closed_cases() const;

 private:
  struct Parts;
  explicit Casebook(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace scrapetrace::casebook
