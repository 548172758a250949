#pragma once
// Outputs that appear under their names whole or not at all, and leave nothing behind when the program is
// told to end.

#include <string>
#include <string_view>

namespace scrapetrace {

enum class Existing { keep, replace };

// A file beside the target for the time of writing: hidden, new, under a name that nobody can guess, so that
// no link lies in its way. What was put in place survives a loss of power.
class PartFile {
 public:
  // Makes the file; failed() tells when that could not be done.
  explicit PartFile(const std::string& target);
  // Removes what was written and not put in place.
  ~PartFile();
  PartFile(const PartFile&) = delete;
  PartFile& operator=(const PartFile&) = delete;

  // Why there is no file to write to; empty when there is.
  [[nodiscard]] const std::string& failed() const { return failed_; }
  // A name by which this process opens the file again, whatever lies in its folder (proc(5), /proc/self/fd).
  [[nodiscard]] std::string path() const;
  // Adds bytes. The reason when not all of them could be written, else empty.
  std::string write(std::string_view bytes) const;
  // Gives what was written its name. The reason when that cannot be done, else empty; with Existing::keep a
  // file of that name is a reason.
  std::string put_in_place(Existing existing);

 private:
  std::string target_;
  std::string hidden_;  // its name in the folder; empty once it has another
  std::string failed_;
  int slot_;
  int descriptor_ = -1;
};

// All of it, whatever the descriptor is of; the reason when that cannot be done.
std::string write_all(int descriptor, std::string_view bytes);

// From here on a signal that asks the program to end (SIGTERM, SIGINT, SIGHUP) first removes every part file.
void remove_part_files_on_signals();

}  // namespace scrapetrace
