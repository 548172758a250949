#include "sandbox/known_messages.h"

#include <algorithm>
#include <array>

#include "scan/shared_messages.h"

namespace scrapetrace::sandbox {

namespace {

// Templates: # is a number, % a decoder's message, @ the file's first page, $ the supported formats.
constexpr std::array kProblems{
    "is not a $ file, or too little of one; save the scan as one of these, and copy it again if it was cut "
    "short",
    "is a PDF, which the libvips of this computer cannot read; save the scan as TIFF or PNG",
    "is a HEIC or AVIF picture, which the libvips of this computer cannot read; save the scan as TIFF or PNG",
    "is # x # px by its header; at most # million pixels are decoded: scan at a lower resolution, or raise "
    "--most-megapixels",
    "is # x # px by its header, and the pages that are judged together may have # million pixels: give fewer "
    "scans "
    "at a time, or raise --most-case-megapixels",
    "is # x # px; at most # px a side are taken: scan at a lower resolution",
    "has no page; give the scan itself",
    "has one page, no page #; name the file alone",
    "has # pages, no page #; name one of those",
    "has # pages; at most # are taken; name those that are scans, like @, or raise --most-pages",
    "has # colour channels; grey or RGB is needed",
    "cannot be read as an image (%); give a $ scan, and copy it again if it was cut short",
    "cannot be read: libvips cannot be loaded (%); install the package libvips#",
    "its colours cannot be converted to sRGB (%); save it as an 8-bit sRGB scan",
    "its colours cannot be converted to sRGB (%)",
    "is damaged or cut short (%); copy it again",
    "is damaged or cut short (%); copy or scan it again",
    "is a photo of more than 120 million pixels; save it at a lower resolution",
    "is a photo that shows too little of the sheet; take all four corners into the picture",
    "page # holds a damaged picture (%); scan or copy it again",
    "page # holds no scanned picture, only drawing or text; give the scan itself",
    "page # would be # px long; at most 40000 are drawn: save the scan itself as TIFF",
    "page # cannot be drawn (%); save the scan as TIFF or PNG",
    "cannot be read as a PDF (%); save the scan as TIFF or PNG, or copy it again",
    "is locked with a password; save the scan without one",
};

constexpr std::array kNotes{
    scan::kTakenAsSrgb,
    "the file's colour profile cannot be used and was left aside",
    "the colours are CMYK without a profile: a common press profile was assumed",
    "the colours are CMYK without a profile, mere complements of RGB: they were turned back",
    "the picture has # colours only, as a palette or a black-and-white setting leaves them",
    "the PDF's page is put together of pictures that do not share one grid of pixels, so that it was "
    "resampled "
    "once; the scanning program's TIFF or JPEG shows more",
};

constexpr std::array kConflicts{
    "its tags say # dpi one way and # dpi the other",
    "its Exif data say # dpi and its JFIF header says # dpi",
};

// Removes an expected prefix.
bool take(std::string_view& sentence, std::string_view expected) {
  if (!sentence.starts_with(expected)) return false;
  sentence.remove_prefix(expected.size());
  return true;
}

bool take_number(std::string_view& sentence) {
  const std::size_t digits = std::min(sentence.find_first_not_of("0123456789"), sentence.size());
  sentence.remove_prefix(digits);
  return digits > 0 && digits <= 12;
}

// Removes a decoder's message up to the closing parenthesis. It must not contain anything that looks like one
// of the program's options.
bool take_complaint(std::string_view& sentence) {
  constexpr std::size_t kLongest = 400;
  int open = 0;
  std::size_t end = 0;
  for (; end < sentence.size() && !(open == 0 && sentence[end] == ')'); ++end) {
    if (sentence[end] == '(') ++open;
    if (sentence[end] == ')') --open;
  }
  const std::string_view complaint = sentence.substr(0, end);
  sentence.remove_prefix(end);
  return complaint.size() <= kLongest && complaint.find("--") == std::string_view::npos;
}

bool follows(std::string_view sentence, std::string_view pattern, std::string_view file) {
  for (const char expected : pattern) {
    const bool taken = expected == '#'   ? take_number(sentence)
                       : expected == '%' ? take_complaint(sentence)
                       : expected == '$' ? take(sentence, scan::kFormats)
                       : expected == '@' ? take(sentence, std::string(file) + "[1]")
                                         : take(sentence, {&expected, 1});
    if (!taken) return false;
  }
  return sentence.empty();
}

template <std::size_t kCount>
bool is_one_of(const std::array<const char*, kCount>& patterns, std::string_view sentence,
               std::string_view file) {
  return std::any_of(patterns.begin(), patterns.end(),
                     [&](const char* pattern) { return follows(sentence, pattern, file); });
}

}  // namespace

bool is_known_problem(std::string_view sentence, std::string_view file) {
  return is_one_of(kProblems, sentence, file);
}

bool is_known_note(std::string_view sentence) {
  return is_one_of(kNotes, sentence, {});
}

bool is_known_conflict(std::string_view sentence) {
  return is_one_of(kConflicts, sentence, {});
}

std::string shown_problem(const std::string& sentence, std::string_view file) {
  if (is_known_problem(sentence, file)) return sentence;
  return "was not read; do not rely on the reason, which comes from the process that read it: \"" + sentence +
         "\"";
}

}  // namespace scrapetrace::sandbox
