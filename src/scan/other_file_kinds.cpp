// Files that people send besides or instead of scans. Signatures: each format's specification, from memory.
// memory.

#include <algorithm>
#include <array>
#include <cctype>

#include "scan/file_signature.h"

namespace scrapetrace::scan {

namespace {

using namespace std::string_view_literals;

struct Signature {
  std::string_view bytes;
  const char* what;
};

constexpr const char* kUnpack = "is an archive: unpack it";
constexpr const char* kOther = "is a picture of a kind that is not read: save it as TIFF or PNG";
constexpr const char* kDocument = "is a document of an office program: save the scans in it as TIFF or PNG";

constexpr std::array kSignatures{
    Signature{"PK\x03\x04"sv, "is a ZIP archive or an office document: unpack it, or save the scans in it"},
    Signature{"PK\x05\x06"sv, "is an empty ZIP archive"},
    Signature{"Rar!\x1a\x07"sv, kUnpack},
    Signature{"7z\xbc\xaf\x27\x1c"sv, kUnpack},
    Signature{"\x1f\x8b"sv, kUnpack},
    Signature{"BZh"sv, kUnpack},
    Signature{"\xfd"
              "7zXZ\0"sv,
              kUnpack},
    Signature{"BM"sv, "is a BMP picture: save it as TIFF or PNG"},
    Signature{"GIF8"sv, "is a GIF picture, which has no room for a scan's tones: scan again to TIFF or PNG"},
    Signature{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"sv, kDocument},
    Signature{"{\\rtf"sv, kDocument},
    Signature{"\0\x05\x16\x07"sv, "is a note of the file manager's, and no scan"},
    Signature{"\0\0\0\x01"
              "Bud1"sv,
              "is a note of the file manager's, and no scan"},
    Signature{"%!PS"sv, "is a PostScript document: save it as PDF"},
    Signature{"\x7f"
              "ELF"sv,
              "is a program: do not open it"},
    Signature{"MZ"sv, "is a program: do not open it"},
    Signature{"\xff\x0a"sv, kOther},
    Signature{"\0\0\0\x0cJXL "sv, kOther},
    Signature{"\0\0\0\x0cjP  "sv, kOther},
    Signature{"8BPS"sv, kOther},
};

// RFC 5322: a mail begins with header fields.
bool is_mail(std::string_view start) {
  std::string head(start.substr(0, 512));
  std::transform(head.begin(), head.end(), head.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  constexpr std::array kFields{"received:"sv, "return-path:"sv,  "from:"sv, "message-id:"sv,  "date:"sv,
                               "subject:"sv,  "mime-version:"sv, "x-"sv,    "delivered-to:"sv};
  return std::any_of(kFields.begin(), kFields.end(),
                     [&](std::string_view field) { return head.starts_with(field); }) &&
         head.find('\n') != std::string::npos;
}

bool is_text(std::string_view start) {
  return std::all_of(start.begin(), start.end(), [](unsigned char c) {
    return c >= 0x80 || (c >= 0x20 && c != 0x7f) || c == '\n' || c == '\r' || c == '\t' || c == '\f';
  });
}

}  // namespace

const char* other_file_kind(std::string_view start) {
  if (start.empty()) return "is empty: copy it again";
  for (const Signature& each : kSignatures) {
    if (start.starts_with(each.bytes)) return each.what;
  }
  if (is_mail(start)) return "is an e-mail: save the scans attached to it";
  return is_text(start) ? "is text" : "is of no kind that is known here: save the scan as TIFF or PNG";
}

bool is_desktop_metadata(std::string_view name, std::string_view start) {
  const std::string_view leaf = name.substr(name.find_last_of('/') + 1);
  return leaf == "Thumbs.db" || leaf == "desktop.ini" || leaf == ".directory" ||
         start.starts_with("\0\x05\x16\x07"sv) ||
         start.starts_with(
             "\0\0\0\x01"
             "Bud1"sv);
}

}  // namespace scrapetrace::scan
