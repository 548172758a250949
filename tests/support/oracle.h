#pragma once
// Numbers from a Python script of the tests, for comparison with what libraries outside the project say.

#include <gtest/gtest.h>

#include <cstdio>
#include <string>
#include <vector>

namespace scrapetrace::testing {

// Debian's interpreter with its python3-scipy and python3-skimage; others on the path may lack them.
constexpr const char* kPython = "/usr/bin/python3";

// Runs tests/<script> with arguments; every number it prints, in order. A failed run is a failed test.
inline std::vector<double> ask_oracle(const std::string& script, const std::string& arguments) {
  const std::string command =
      std::string(kPython) + " " + SCRAPETRACE_SOURCE_DIR + "/tests/" + script + " " + arguments;
  std::vector<double> numbers;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) {
    ADD_FAILURE() << "cannot start: " << command;
    return numbers;
  }
  for (double value = 0; std::fscanf(pipe, "%lf", &value) == 1;) numbers.push_back(value);
  if (pclose(pipe) != 0) {
    ADD_FAILURE() << "the comparison needs " << kPython
                  << " with the packages that the script imports: " << command;
    numbers.clear();
  }
  return numbers;
}

}  // namespace scrapetrace::testing
