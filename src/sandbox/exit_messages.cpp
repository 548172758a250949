#include "sandbox/exit_messages.h"

#include <sys/wait.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <csignal>
#include <cstring>
#include <sstream>

namespace scrapetrace::sandbox {

namespace {

constexpr const char* kOddFile =
    "the file is damaged or made to do harm: do not open it elsewhere, and scan the sheet again";

std::string whole(double number) {
  return std::to_string(std::llround(number));
}

// With at most six digits.
std::string written(double number) {
  std::ostringstream out;
  out << number;
  return out.str();
}

std::string took_too_long(const scan::ReadLimits& limits) {
  return "was not read within " + whole(limits.seconds) +
         " seconds and was given up; copy it to a disk of this computer, or raise --most-seconds";
}

std::string not_started(const Confinement& confinement) {
  switch (confinement.gap) {
    case Gap::filter:
      return "was not read: this system does not let the system-call filter be set (" +
             std::string(std::strerror(confinement.error)) +
             "); allow seccomp here, or read scans that you trust with --no-sandbox";
    case Gap::descriptors:
      return "was not read: this system does not tell what a process has open; mount /proc here, or read "
             "scans "
             "that you trust with --no-sandbox";
    case Gap::none:
    case Gap::unknown:
      break;
  }
  return "was not read: no process could be started; close other programs and try again";
}

std::string crashed(int signal, const scan::ReadLimits& limits) {
  return "made the process that reads it crash (signal " + std::to_string(signal) + "); " + kOddFile +
         ", or raise --most-memory if it needs more than " + whole(limits.memory_megabytes) + " MB";
}

}  // namespace

std::string exit_problem(const WorkerExit& worker_exit, const scan::ReadLimits& limits) {
  if (worker_exit.not_started) return not_started(worker_exit.confinement);
  if (worker_exit.late) return took_too_long(limits);
  if (WIFEXITED(worker_exit.status) && WEXITSTATUS(worker_exit.status) == 0) return {};
  if (!WIFSIGNALED(worker_exit.status)) {
    return "was not read: the process that reads it gave up (status " +
           std::to_string(WEXITSTATUS(worker_exit.status)) + "); " + kOddFile;
  }
  switch (const int signal = WTERMSIG(worker_exit.status)) {
    case SIGSYS:
      return std::string(
                 "made the process that reads it ask for what no scan needs (a network, another "
                 "program), and was stopped; ") +
             kOddFile;
    case SIGXCPU:
      return took_too_long(limits);
    case SIGKILL:
      return "was not read: the process that reads it was killed from outside; try again when the computer "
             "has memory left";
    default:
      return crashed(signal, limits);
  }
}

Problems out_of_memory(const scan::ReadLimits& limits) {
  return {{"", 0, 0,
           "needs more than the " + whole(limits.memory_megabytes) +
               " MB of memory allowed to be read; scan at a lower resolution, or raise --most-memory"}};
}

Problems out_of_case_memory(const scan::CaseLimits& limits) {
  return {{"", 0, 0,
           "was not kept: with it the pages that are judged together take more than half of the " +
               whole(limits.memory_megabytes) +
               " MB that they and judging them may take; give fewer scans at a time, or raise "
               "--most-case-memory"}};
}

Problems out_of_time(const scan::CaseLimits& limits) {
  return {
      {"", 0, 0,
       "was not read: the " + written(limits.seconds) +
           " seconds for the pages that are judged together are over; give fewer scans at a time, or raise "
           "--most-case-seconds"}};
}

Problems invalid_reply() {
  return {{"", 0, 0, std::string("was not read: what came back made no sense; ") + kOddFile}};
}

Problems lost_fork_server() {
  return {{"", 0, 0, "was not read: the process that reads scans is gone; run the command again"}};
}

bool is_transient(const std::string& reason) {
  constexpr std::array kOfTheMoment{"no process could be started",
                                    "seconds and was given up",
                                    "the process that reads it gave up",
                                    "was killed from outside",
                                    "made the process that reads it crash",  // perhaps for lack of memory
                                    "of memory allowed to be read",
                                    "the process that reads scans is gone",
                                    "Cannot allocate memory",
                                    "Too many open files",
                                    "seconds for the pages that are judged together are over"};
  return std::any_of(kOfTheMoment.begin(), kOfTheMoment.end(),
                     [&](const char* words) { return reason.find(words) != std::string::npos; });
}

}  // namespace scrapetrace::sandbox
