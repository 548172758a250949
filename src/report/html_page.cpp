#include "report/html_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "hash/sha256.h"
#include "report/base64.h"
#include "report/html_style.h"

namespace scrapetrace::report {

namespace {

// A Content-Security-Policy source: base64 of the digest.
std::string policy_hash(const std::string& text) {
  const std::string hex = hash::sha256(text);
  std::string bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    bytes += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return "sha256-" + base64(bytes);
}

// Before and after the hash of the style.
constexpr std::string_view kOpening =
    "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src '";
constexpr std::string_view kPolicyEnd = "'; base-uri 'none'; form-action 'none'\">\n";
constexpr std::string_view kOtherMetas =
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
    "<meta name=\"color-scheme\" content=\"light dark\">\n"
    "<meta name=\"referrer\" content=\"no-referrer\">\n";

// Ignores case.
bool holds_meta(std::string_view page) {
  constexpr std::string_view kMeta = "<meta";
  return std::search(page.begin(), page.end(), kMeta.begin(), kMeta.end(), [](char a, char b) {
           return std::tolower(static_cast<unsigned char>(a)) == b;
         }) != page.end();
}

}  // namespace

bool is_our_page(std::string_view page) {
  const std::size_t hash = policy_hash("").size();
  if (!page.starts_with(kOpening) || page.size() < kOpening.size() + hash) return false;
  page.remove_prefix(kOpening.size());
  const std::string_view given = page.substr(0, hash);
  constexpr std::string_view kBase64 = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/=";
  if (!given.starts_with("sha256-") || given.substr(7).find_first_not_of(kBase64) != std::string_view::npos)
    return false;
  page.remove_prefix(hash);
  for (const std::string_view next : {kPolicyEnd, kOtherMetas}) {
    if (!page.starts_with(next)) return false;
    page.remove_prefix(next.size());
  }
  return !holds_meta(page);
}

std::string html_head(std::string_view title, const std::string& own_style) {
  const std::string style = std::string(common_style()) + own_style;
  std::string out = fmt::format("{}{}{}{}", kOpening, policy_hash(style), kPolicyEnd, kOtherMetas);
  out += element("title", title).html();
  return out + fmt::format("<style>{}</style>\n</head>\n<body>\n", style);
}

std::string html_page(const HtmlPage& page) {
  return html_head(page.title, page.style) + element("header", page.header).html() +
         element("main", page.main).html() + "</body>\n</html>\n";
}

std::string highlight_style(const std::vector<std::size_t>& ids) {
  std::string out;
  for (const std::size_t id : ids) {
    // Separate rules: a browser without :has() drops only these.
    for (const std::string_view state : {":hover", ":focus-within"}) {
      out += fmt::format(
          "body:has(.hot.s{0}{1}) .s{0}>.halo>rect{{stroke:#8a4b00;stroke-width:3.5}}\n"
          "body:has(.hot.s{0}{1}) .lead.s{0}>line{{stroke-width:4}}\n"
          "body:has(.hot.s{0}{1}) article.s{0}{{outline:3px solid var(--lit)}}\n",
          id, state);
    }
  }
  return out;
}

std::string highlight_style(const std::vector<Streak>& streaks) {
  std::vector<std::size_t> ids;
  for (const Streak& streak : streaks) ids.push_back(streak.id);
  return highlight_style(ids);
}

}  // namespace scrapetrace::report
