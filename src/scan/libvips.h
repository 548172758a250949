#pragma once
// libvips' functions, loaded at run time. Linking libvips would load dozens of libraries at start-up, which
// takes longer than placing a page, and most scans are read without it.
//
// The names in this namespace hide those of libvips' headers, also inside its macros. A function not listed
// here does not link.

#include <gmodule.h>
#include <vips/vips.h>

#include <string>

// clang-format off
#define SCRAPETRACE_LIBVIPS(each) \
  each(g_free) \
  each(g_log_set_handler) \
  each(g_module_make_resident) \
  each(g_module_open) \
  each(g_object_unref) \
  each(g_type_from_name) \
  each(vips_area_unref) \
  each(vips_array_double_newv) \
  each(vips_band_format_get_type) \
  each(vips_bandjoin) \
  each(vips_block_untrusted_set) \
  each(vips_cache_set_max) \
  each(vips_cast) \
  each(vips_cast_uchar) \
  each(vips_colourspace) \
  each(vips_copy) \
  each(vips_enum_nick) \
  each(vips_error) \
  each(vips_error_buffer_copy) \
  each(vips_error_clear) \
  each(vips_extract_band) \
  each(vips_flatten) \
  each(vips_format_sizeof_unsafe) \
  each(vips_heifload_source) \
  each(vips_icc_transform) \
  each(vips_image_get_bands) \
  each(vips_image_get_blob) \
  each(vips_image_get_format) \
  each(vips_image_get_height) \
  each(vips_image_get_int) \
  each(vips_image_get_interpretation) \
  each(vips_image_get_n_pages) \
  each(vips_image_get_string) \
  each(vips_image_get_typeof) \
  each(vips_image_get_width) \
  each(vips_image_hasalpha) \
  each(vips_image_new_from_memory) \
  each(vips_image_remove) \
  each(vips_image_set_blob_copy) \
  each(vips_image_write_to_buffer) \
  each(vips_image_write_to_memory) \
  each(vips_init) \
  each(vips_invert) \
  each(vips_jpegload_buffer) \
  each(vips_jpegload_source) \
  each(vips_jpegsave) \
  each(vips_jpegsave_buffer) \
  each(vips_linear1) \
  each(vips_multiply) \
  each(vips_operation_block_set) \
  each(vips_pdfload_source) \
  each(vips_pngload_source) \
  each(vips_pngsave) \
  each(vips_pngsave_buffer) \
  each(vips_region_new) \
  each(vips_region_prepare) \
  each(vips_source_new_from_descriptor) \
  each(vips_source_new_from_memory) \
  each(vips_svgload_buffer) \
  each(vips_tiffload_source) \
  each(vips_tiffsave) \
  each(vips_type_find) \
  each(vips_webpload_source)
// clang-format on

namespace scrapetrace::scan {

// NOLINTNEXTLINE(bugprone-macro-parentheses): a name to be declared
#define SCRAPETRACE_DECLARE(name) extern decltype(&::name) name;
SCRAPETRACE_LIBVIPS(SCRAPETRACE_DECLARE)
#undef SCRAPETRACE_DECLARE

// The library name that matches the headers used at compile time.
std::string libvips_name();

// Loads the library and all functions; none may be called before. Not thread-safe. Throws std::runtime_error,
// and changes nothing, when the library or one of its functions is missing.
void load_libvips(const std::string& library);

}  // namespace scrapetrace::scan
