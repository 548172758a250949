#pragma once
// Output files that appear whole or not at all: written under a temporary name, then renamed.

#include <string>
#include <string_view>

namespace scrapetrace {

enum class Existing { keep, replace };

// A temporary file beside its target, created anew under a hidden random name, so that no link can lie in its
// way. A committed file survives a loss of power.
class AtomicFile {
 public:
  // Creates the temporary file; failed() tells whether that worked.
  explicit AtomicFile(const std::string& target);
  // Removes the temporary file unless it was committed.
  ~AtomicFile();
  AtomicFile(const AtomicFile&) = delete;
  AtomicFile& operator=(const AtomicFile&) = delete;

  // Why there is no file; empty when there is one.
  [[nodiscard]] const std::string& failed() const { return failed_; }
  // A path by which this process opens the file again, even when its folder changes (proc(5), /proc/self/fd).
  [[nodiscard]] std::string path() const;
  // Appends bytes. Returns why that failed, else an empty string.
  std::string write(std::string_view bytes) const;
  // Renames the file to its target. Returns why that failed, else an empty string. With Existing::keep an
  // existing target is a failure.
  std::string commit(Existing existing);

 private:
  std::string target_;
  std::string temporary_;  // path of the temporary file; empty once committed
  std::string failed_;
  int slot_;
  int descriptor_ = -1;
};

// Writes all bytes to any descriptor. Returns why that failed, else an empty string.
std::string write_all(int descriptor, std::string_view bytes);

// From here on SIGTERM, SIGINT and SIGHUP remove all temporary files before they end the program.
void remove_temporary_files_on_signals();

}  // namespace scrapetrace
