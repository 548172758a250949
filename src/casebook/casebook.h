#pragma once
// A workshop's records of its units in one SQLite file: what was scanned, found, cleaned, rechecked and
// judged, by whom and when. Records are only ever added: triggers refuse changes and deletions, and every
// record carries the hash of the one before it, so that a change behind the program's back shows.
//
// A record's hash is SHA-256 over its fields in the order of Record, each as its length in bytes, a colon and
// the bytes, beginning with the hash of the record before it (empty for the first).

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/result.h"

namespace scrapetrace::casebook {

struct Record {
  std::int64_t number = 0;  // 1, 2, ...: given when it is added
  std::string unit;         // which machine
  std::string kind;         // scan, finding, cleaned, recheck, verdict, note
  std::string at;           // UTC, as in 2025-03-01T14:05:09Z
  std::string who;
  std::string tool_version;
  std::string layout;         // name; empty where none was used
  std::string layout_sha256;  // of the file
  std::string head;           // of what was cleaned or rechecked
  std::string side;
  std::string surface;
  std::string outcome;   // of a recheck: its next step; of a verdict: pass, fail, cannot_judge
  std::string summary;   // one sentence
  std::string body;      // JSON
  std::string picture;   // PNG thumbnail of a scan
  std::string previous;  // hash of the record before
  std::string hash;
};

std::string hash_of(const Record& record);

struct Verification {
  std::int64_t records = 0;  // none: there never was one; a book whose records were all deleted is broken
  std::int64_t broken = 0;   // the first record that is not as it was written; 0: none
  std::string why;
  std::string last_hash;  // keep it elsewhere: it proves later that nothing was cut off the end
};

// How often cleaning a zone ended a case: a record "cleaned" followed, for the same unit and head side, by a
// recheck that closed it before anything else was cleaned there.
struct ZoneCount {
  std::string side;
  std::string surface;
  std::int64_t closed = 0;
};

class Casebook {
 public:
  // `create`: makes the file when it is missing. Problems: no such file, not as this program makes it
  // (book_form.h), damaged, or in use. A file of somebody else's is opened as safely as one of our own.
  static Result<Casebook> open(const std::string& path, bool create);
  Casebook(Casebook&&) noexcept;
  Casebook& operator=(Casebook&&) noexcept;
  ~Casebook();

  // All or none of them, in one transaction; numbers, previous and hash are filled in. The hash of the last.
  // Nothing is added to a chain that is broken.
  Result<std::string> add(std::vector<Record> records);
  // In order; all units when `unit` is empty.
  Problems each(const std::string& unit, const std::function<void(const Record&)>& visit) const;
  // `expected_hash`, when not empty, must be the hash of some record.
  [[nodiscard]] Result<Verification> verify(const std::string& expected_hash) const;
  [[nodiscard]] Result<std::vector<ZoneCount>> closed_cases() const;

 private:
  struct Parts;
  explicit Casebook(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace scrapetrace::casebook
