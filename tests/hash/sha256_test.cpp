#include "hash/sha256.h"

#include <gtest/gtest.h>

#include <fstream>

namespace scrapetrace::hash {
namespace {

// FIPS 180-4 (NIST, examples published with the standard): one block, two blocks, a million letters.
TEST(Sha256, GivesThePublishedExamples) {
  EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256(std::string(1000000, 'a')),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(Sha256, OfNothing) {
  EXPECT_EQ(sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(Sha256, AFileIsItsBytes) {
  const std::string path = testing::TempDir() + "/sha256_file";
  const std::string bytes(200000, 'x');
  std::ofstream(path, std::ios::binary) << bytes;
  EXPECT_EQ(sha256_of_file(path).value(), sha256(bytes));
}

TEST(Sha256, AFileThatIsNotThereIsAProblem) {
  const auto hash = sha256_of_file("/no/such/file");
  ASSERT_FALSE(hash.ok());
  EXPECT_EQ(hash.problems().front().file, "/no/such/file");
}

}  // namespace
}  // namespace scrapetrace::hash
