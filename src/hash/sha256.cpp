#include "hash/sha256.h"

#include <fcntl.h>
#include <openssl/evp.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>
#include <new>

namespace scrapetrace::hash {

namespace {

struct FreeContext {
  void operator()(EVP_MD_CTX* context) const { EVP_MD_CTX_free(context); }
};

class Digest {
 public:
  Digest() : context_(EVP_MD_CTX_new()) {
    if (!context_ || EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr) != 1) throw std::bad_alloc();
  }

  void add(const void* bytes, std::size_t size) {
    if (EVP_DigestUpdate(context_.get(), bytes, size) != 1) throw std::bad_alloc();
  }

  std::string hex() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int size = 0;
    if (EVP_DigestFinal_ex(context_.get(), digest.data(), &size) != 1) throw std::bad_alloc();
    std::string out;
    for (unsigned int i = 0; i < size; ++i) {
      for (const int nibble : {digest[i] >> 4, digest[i] & 15}) out += "0123456789abcdef"[nibble];
    }
    return out;
  }

 private:
  std::unique_ptr<EVP_MD_CTX, FreeContext> context_;
};

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, CloseFile>;

// Null, with errno set, on failure and for pipes and devices, which may never end.
File open_regular(const std::string& path) {
  const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
  struct stat about {};
  if (descriptor < 0) return nullptr;
  if (fstat(descriptor, &about) == 0 && S_ISREG(about.st_mode)) return File(fdopen(descriptor, "rb"));
  close(descriptor);
  errno = S_ISDIR(about.st_mode) ? EISDIR : ENOTSUP;
  return nullptr;
}

}  // namespace

std::string sha256(std::string_view bytes) {
  Digest digest;
  digest.add(bytes.data(), bytes.size());
  return digest.hex();
}

Result<std::string> sha256_of_file(const std::string& path) {
  const auto file = open_regular(path);
  if (!file) return Problem{path, 0, 0, std::string("cannot be read: ") + std::strerror(errno)};
  Digest digest;
  std::array<char, 65536> piece{};
  while (const std::size_t got = std::fread(piece.data(), 1, piece.size(), file.get()))
    digest.add(piece.data(), got);
  if (std::ferror(file.get()) != 0)
    return Problem{path, 0, 0, "cannot be read to its end; copy it to a sound disk"};
  return digest.hex();
}

}  // namespace scrapetrace::hash
