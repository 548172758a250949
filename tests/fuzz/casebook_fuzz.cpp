#include <unistd.h>

#include <filesystem>

#include "casebook/casebook.h"
#include "fuzz/target.h"

namespace {

using scrapetrace::casebook::Casebook;
using scrapetrace::casebook::Record;

// In memory where there is such a folder: every attempt is written, and synchronised where it is added to.
std::string book_path() {
  const std::filesystem::path memory = "/dev/shm";
  const auto folder = std::filesystem::is_directory(memory) ? memory : std::filesystem::temp_directory_path();
  return (folder / ("casebook_fuzz." + std::to_string(getpid()) + ".sqlite")).string();
}

struct Book {
  std::string path = book_path();
  ~Book() { std::filesystem::remove(path); }
};

}  // namespace

// A book that is called whole is: each record follows the one before and has the hash of its contents, and
// one more can be added. Nothing is added to any other.
void scrapetrace::fuzz::take(std::string_view bytes) {
  static const Book kBook;
  const std::string& path = kBook.path;
  std::ofstream(path, std::ios::binary | std::ios::trunc)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  std::filesystem::remove(path + "-journal");
  std::int64_t records = 0;
  bool whole = false;
  if (const auto book = Casebook::open(path, false)) {
    const auto chain = book->verify("");
    whole = chain && chain->broken == 0;
    std::string previous;
    const auto problems = book->each("", [&](const Record& record) {
      ++records;
      if (!whole) return;
      expect(record.number == records && record.previous == previous &&
             record.hash == casebook::hash_of(record));
      previous = record.hash;
    });
    expect(!whole || (problems.empty() && records == chain->records && previous == chain->last_hash));
    (void)book->closed_cases();
  }
  auto book = Casebook::open(path, true);
  if (!book) return expect(!whole);
  auto open = std::move(book).value();
  Record more;
  more.unit = "W-17";
  more.kind = "note";
  const auto added = open.add({more});
  expect(!whole || added.ok());
  if (!added) return;
  const auto chain = open.verify(*added);
  expect(chain && chain->broken == 0 && chain->records == records + 1 && chain->last_hash == *added);
}
