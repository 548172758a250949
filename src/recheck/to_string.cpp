#include "scrapetrace/recheck.h"

namespace scrapetrace {

const char* to_string(Change change) {
  switch (change) {
    case Change::gone:
      return "gone";
    case Change::fainter:
      return "fainter";
    case Change::unchanged:
      return "unchanged";
    case Change::stronger:
      return "stronger";
    case Change::moved:
      return "moved";
    case Change::appeared:
      return "new";
    case Change::could_not_look:
      break;
  }
  return "could_not_look";
}

const char* to_string(Haze haze) {
  switch (haze) {
    case Haze::clean:
      return "clean";
    case Haze::present:
      return "present";
    case Haze::cleared:
      return "cleared";
    case Haze::could_not_look:
      break;
  }
  return "could_not_look";
}

const char* to_string(NextStep step) {
  switch (step) {
    case NextStep::close:
      return "close";
    case NextStep::print_on:
      return "print_on";
    case NextStep::clean_again:
      return "clean_again";
    case NextStep::clean_next:
      return "clean_next";
    case NextStep::other_causes:
      return "other_causes";
    case NextStep::stop:
      return "stop";
    case NextStep::look_again:
      break;
  }
  return "look_again";
}

const char* to_string(JetState state) {
  if (state == JetState::lost) return "lost";
  return state == JetState::was_so ? "was_so" : "unknown";
}

}  // namespace scrapetrace
