#pragma once
// Outputs that appear under their names whole or not at all, and leave nothing behind when the program is
// told to end.

#include <string>

namespace scrapetrace {

enum class Existing { keep, replace };

// A name beside the target's for the time of writing, hidden, and no other writer's.
class PartFile {
 public:
  explicit PartFile(const std::string& target);
  // Removes what was written and not put in place.
  ~PartFile();
  PartFile(const PartFile&) = delete;
  PartFile& operator=(const PartFile&) = delete;

  [[nodiscard]] const std::string& path() const { return path_; }
  // Gives what was written its name. The reason when that cannot be done, else empty; with Existing::keep a
  // file of that name is a reason.
  std::string put_in_place(Existing existing);

 private:
  std::string target_;
  std::string path_;
  int slot_;
};

// From here on a signal that asks the program to end (SIGTERM, SIGINT, SIGHUP) first removes every part file.
void remove_part_files_on_signals();

}  // namespace scrapetrace
