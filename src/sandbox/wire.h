#pragma once
// Binary serialisation. One list of fields serves both directions, so they cannot diverge.

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace scrapetrace::sandbox {

class WireWriter {
 public:
  template <class Number>
  void number(const Number& value, Number, Number) {
    static_assert(std::is_arithmetic_v<Number>);
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
  }
  void flag(const bool& value) { bytes_ += value ? '\1' : '\0'; }
  void text(const std::string& value, std::size_t most) {
    const std::string_view kept = std::string_view(value).substr(0, most);
    count(kept.size());
    bytes_ += kept;
  }
  template <class Item>
  void bulk(const std::vector<Item>& items, std::size_t) {
    count(items.size());
    bytes_.append(reinterpret_cast<const char*>(items.data()), items.size() * sizeof(Item));
  }
  // The length of a list.
  template <class Item>
  void resize(const std::vector<Item>& items, std::size_t) {
    count(items.size());
  }
  // The length of what the caller writes itself.
  void count(std::uint64_t size) { bytes_.append(reinterpret_cast<const char*>(&size), sizeof size); }
  [[nodiscard]] const std::string& bytes() const { return bytes_; }

 private:
  std::string bytes_;
};

// After the first error every value is 0 and ok() stays false.
class WireReader {
 public:
  explicit WireReader(std::span<const std::uint8_t> bytes) : left_(bytes) {}

  // Finite and within [least, most].
  template <class Number>
  void number(Number& value, Number least, Number most) {
    Number read{};
    take(&read, sizeof read);
    if (!(read >= least && read <= most)) ok_ = false;
    value = ok_ ? read : least;
  }
  void flag(bool& value) {
    std::uint8_t byte = 0;
    take(&byte, 1);
    if (byte > 1) ok_ = false;
    value = ok_ && byte == 1;
  }
  // Rejects control characters.
  void text(std::string& value, std::size_t most) {
    const std::size_t size = count(most, 1);
    value.assign(size, '\0');
    take(value.data(), size);
    for (char& c : value) {
      const auto byte = static_cast<unsigned char>(c);
      if (byte < 0x20 || byte == 0x7f) c = '?';
    }
  }
  template <class Item>
  void bulk(std::vector<Item>& items, std::size_t exactly) {
    static_assert(std::is_trivially_copyable_v<Item>);
    const std::size_t size = count(exactly, sizeof(Item));
    if (size != exactly) ok_ = false;
    if (!ok_) return items.clear();
    items.resize(size);
    if (size > 0) std::memcpy(items.data(), left_.data(), size * sizeof(Item));
    left_ = left_.subspan(size * sizeof(Item));
  }
  template <class Item>
  void resize(std::vector<Item>& items, std::size_t most) {
    items.assign(count(most, 1), Item{});
  }
  [[nodiscard]] bool ok() const { return ok_; }
  [[nodiscard]] bool at_end() const { return ok_ && left_.empty(); }

 private:
  void take(void* to, std::size_t size) {
    if (!ok_ || size > left_.size()) {
      ok_ = false;
      return;
    }
    if (size > 0) std::memcpy(to, left_.data(), size);
    left_ = left_.subspan(size);
  }
  // At most `most` items, and no more than the remaining bytes can hold.
  std::size_t count(std::size_t most, std::size_t item_bytes) {
    std::uint64_t size = 0;
    take(&size, sizeof size);
    if (size > most || size > left_.size() / item_bytes) ok_ = false;
    return ok_ ? static_cast<std::size_t>(size) : 0;
  }

  std::span<const std::uint8_t> left_;
  bool ok_ = true;
};

}  // namespace scrapetrace::sandbox
