#pragma once
// libjpeg reports errors by longjmp. Nothing with a destructor may live across setjmp.

#include <csetjmp>
#include <cstdio>

// clang-format off: it needs <cstdio> before it
#include <jpeglib.h>
// clang-format on

namespace scrapetrace::scan {

struct JpegFailure {
  jpeg_error_mgr manager;
  std::jmp_buf where;
  bool warned;  // libjpeg repaired something and went on
};

inline JpegFailure& failure_of(j_common_ptr info) {
  return *reinterpret_cast<JpegFailure*>(info->err);
}

// For `info->err`; discards messages.
inline jpeg_error_mgr* prepare(JpegFailure& failure) {
  failure.warned = false;
  jpeg_std_error(&failure.manager);
  failure.manager.error_exit = [](j_common_ptr info) { std::longjmp(failure_of(info).where, 1); };
  failure.manager.emit_message = [](j_common_ptr info, int level) {
    if (level < 0) failure_of(info).warned = true;
  };
  return &failure.manager;
}

}  // namespace scrapetrace::scan
