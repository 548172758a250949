#pragma once
// What a cleaning did to the jets: recheck() fills it in.

#include <cstddef>
#include <optional>
#include <string>

namespace scrapetrace {

// Since when a jet is weak or dead: since the scans before, already then, or those could not show it.
enum class JetState { lost, was_so, unknown };
const char* to_string(JetState state);  // "lost", "was_so", "unknown"

// A jet that the scans after show weak or dead.
struct JetChange {
  std::string head;
  std::string ink;
  int jet = 0;
  bool dead = false;  // else weak: kDeadFromLoss
  JetState state = JetState::unknown;
  double probability = 0;  // that the streak is a jet's at all
  double loss = 0;         // of its ink, now
  double x_sheet_mm = 0;
  std::size_t after = 0;  // Streak::id in the findings after
  // To the nearest cleaned zone of its head; absent when that head was not cleaned.
  std::optional<double> from_cleaned_mm;
};
inline constexpr double kDeadFromLoss = 0.5;  // of its ink; as Limits::dead_from_loss

}  // namespace scrapetrace
