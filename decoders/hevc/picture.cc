// One HEVC intra picture at a time, decoded by libde265 and converted to RGB: what src/core/photo/heif/hevc.ts calls.
// Under the same licence as libde265: LGPL, version 3 or later.
#include <stdint.h>
#include <stdlib.h>
#include <wasm_simd128.h>
#include "libde265/de265.h"

#define EXPORTED extern "C" __attribute__((used))

namespace {

de265_decoder_context* decoder = nullptr;
const de265_image* picture = nullptr;
bool is_spoilt = false; // by a broken picture, whose warnings would be taken for the next one's

// memory kept from picture to picture, for they are alike
struct Room {
  uint8_t* at = nullptr;
  size_t size = 0;

  uint8_t* of(size_t wanted)
  {
    if (wanted > size) {
      free(at);
      at = static_cast<uint8_t*>(malloc(wanted));
      size = at ? wanted : 0;
    }
    return at;
  }
};

Room coded, rgb, small;
size_t rgb_stride = 0;

const int GROUP_PX = 16;

size_t in_groups(int width) { return (static_cast<size_t>(width) + GROUP_PX - 1) / GROUP_PX; }

// 16 pixels of three planes, laid one behind another
void store_rgb(uint8_t* out, v128_t r, v128_t g, v128_t b)
{
  v128_t rg = wasm_i8x16_shuffle(r, g, 0, 16, 0, 1, 17, 0, 2, 18, 0, 3, 19, 0, 4, 20, 0, 5);
  wasm_v128_store(out, wasm_i8x16_shuffle(rg, b, 0, 1, 16, 3, 4, 17, 6, 7, 18, 9, 10, 19, 12, 13, 20, 15));
  v128_t gr = wasm_i8x16_shuffle(r, g, 21, 0, 6, 22, 0, 7, 23, 0, 8, 24, 0, 9, 25, 0, 10, 26);
  wasm_v128_store(out + 16, wasm_i8x16_shuffle(gr, b, 0, 21, 2, 3, 22, 5, 6, 23, 8, 9, 24, 11, 12, 25, 14, 15));
  v128_t no = wasm_i8x16_shuffle(r, g, 0, 11, 27, 0, 12, 28, 0, 13, 29, 0, 14, 30, 0, 15, 31, 0);
  wasm_v128_store(out + 32, wasm_i8x16_shuffle(no, b, 26, 1, 2, 27, 4, 5, 28, 7, 8, 29, 10, 11, 30, 13, 14, 31));
}

// luma and an offset for every two of its pixels, added and clipped to 8 bit
v128_t with_offset(v128_t y, v128_t offset)
{
  v128_t low = wasm_i16x8_add(wasm_u16x8_extend_low_u8x16(y),
                              wasm_i16x8_shuffle(offset, offset, 0, 0, 1, 1, 2, 2, 3, 3));
  v128_t high = wasm_i16x8_add(wasm_u16x8_extend_high_u8x16(y),
                               wasm_i16x8_shuffle(offset, offset, 4, 4, 5, 5, 6, 6, 7, 7));
  return wasm_u8x16_narrow_i16x8(low, high);
}

// (a*cb + b*cr + 128) >> 8 of 8 chroma values less 128
v128_t chroma_offset(v128_t cb, v128_t cr, v128_t a, v128_t b)
{
  const v128_t half = wasm_i32x4_splat(128);
  v128_t low = wasm_i32x4_add(wasm_i32x4_extmul_low_i16x8(cb, a), wasm_i32x4_extmul_low_i16x8(cr, b));
  v128_t high = wasm_i32x4_add(wasm_i32x4_extmul_high_i16x8(cb, a), wasm_i32x4_extmul_high_i16x8(cr, b));
  return wasm_i16x8_narrow_i32x4(wasm_i32x4_shr(wasm_i32x4_add(low, half), 8),
                                 wasm_i32x4_shr(wasm_i32x4_add(high, half), 8));
}

} // namespace

// Makes ready for another picture of at most `most_px` pixels; answers where its coded bytes belong, 0 without memory.
EXPORTED uint8_t* hevc_begin(uint32_t size, uint32_t most_px)
{
  picture = nullptr;
  if (decoder && is_spoilt) {
    de265_free_decoder(decoder);
    decoder = nullptr;
  }
  if (decoder) de265_reset(decoder);
  else decoder = de265_new_decoder();
  if (!decoder) return nullptr;
  is_spoilt = true; // until it is decoded
  de265_set_parameter_bool(decoder, DE265_DECODER_PARAM_BOOL_SEI_CHECK_HASH, 1);
  de265_get_security_limits(decoder)->max_image_size_pixels = most_px;
  return coded.of(size);
}

// Takes one NAL unit of the coded bytes.
EXPORTED int hevc_push(const uint8_t* at, uint32_t size)
{
  return de265_push_NAL(decoder, at, static_cast<int>(size), 0, nullptr);
}

// Decodes what was taken. Nothing that libde265 warns of counts as decoded, nor what disagrees with a checksum beside it.
EXPORTED int hevc_decode()
{
  de265_error error = de265_flush_data(decoder);
  for (int more = 1; more && error == DE265_OK && !picture;) {
    more = 0;
    error = de265_decode(decoder, &more);
    picture = de265_get_next_picture(decoder);
  }
  if (error != DE265_OK) return error;
  if (int warning = de265_get_warning(decoder)) return warning;
  is_spoilt = picture == nullptr;
  return is_spoilt ? -1 : DE265_OK;
}

EXPORTED int hevc_width() { return de265_get_image_width(picture, 0); }
EXPORTED int hevc_height() { return de265_get_image_height(picture, 0); }
EXPORTED int hevc_matrix() { return de265_get_image_matrix_coefficients(picture); }

// 1 for 8 bit, 4:2:0, full range: what `hevc_rgb` converts.
EXPORTED int hevc_is_plain()
{
  return de265_get_chroma_format(picture) == de265_chroma_420 && de265_get_bits_per_pixel(picture, 0) == 8 &&
         de265_get_bits_per_pixel(picture, 1) == 8 && de265_get_image_full_range_flag(picture) == 1;
}

// Bytes from row to row of what `hevc_rgb` answers.
EXPORTED uint32_t hevc_rgb_stride() { return static_cast<uint32_t>(rgb_stride); }

// Converts to RGB with the matrix's factors in 1/256, each chroma value serving the 2 by 2 pixels around it. Answers
// where the pixels lie, 0 where that cannot be done.
EXPORTED uint8_t* hevc_rgb(int r_cr, int g_cb, int g_cr, int b_cb)
{
  const int height = hevc_height();
  const size_t groups = in_groups(hevc_width());
  int y_stride, cb_stride, cr_stride;
  const uint8_t* y_plane = de265_get_image_plane(picture, 0, &y_stride);
  const uint8_t* cb_plane = de265_get_image_plane(picture, 1, &cb_stride);
  const uint8_t* cr_plane = de265_get_image_plane(picture, 2, &cr_stride);
  rgb_stride = 3 * GROUP_PX * groups;
  const bool is_padded = static_cast<size_t>(y_stride) >= GROUP_PX * groups &&
                         static_cast<size_t>(cb_stride) >= GROUP_PX / 2 * groups &&
                         static_cast<size_t>(cr_stride) >= GROUP_PX / 2 * groups;
  uint8_t* out = is_padded ? rgb.of(rgb_stride * height) : nullptr;
  if (!out) return nullptr;

  const v128_t zero = wasm_i16x8_splat(0), middle = wasm_i16x8_splat(128);
  const v128_t rr = wasm_i16x8_splat(r_cr), gb = wasm_i16x8_splat(g_cb), gr = wasm_i16x8_splat(g_cr),
               bb = wasm_i16x8_splat(b_cb);
  for (int row = 0; row < height; row += 2) {
    const uint8_t* cb_row = cb_plane + static_cast<size_t>(row / 2) * cb_stride;
    const uint8_t* cr_row = cr_plane + static_cast<size_t>(row / 2) * cr_stride;
    for (size_t i = 0; i < groups; i++) {
      v128_t cb = wasm_i16x8_sub(wasm_u16x8_load8x8(cb_row + GROUP_PX / 2 * i), middle);
      v128_t cr = wasm_i16x8_sub(wasm_u16x8_load8x8(cr_row + GROUP_PX / 2 * i), middle);
      v128_t r = chroma_offset(cb, cr, zero, rr);
      v128_t g = chroma_offset(cb, cr, gb, gr);
      v128_t b = chroma_offset(cb, cr, bb, zero);
      for (int k = row; k < row + 2 && k < height; k++) {
        v128_t y = wasm_v128_load(y_plane + static_cast<size_t>(k) * y_stride + GROUP_PX * i);
        store_rgb(out + k * rgb_stride + 3 * GROUP_PX * i, with_offset(y, r), with_offset(y, g),
                  with_offset(y, b));
      }
    }
  }
  return out;
}

// Means over squares of `factor` pixels, a power of 2, of what `hevc_rgb` made; whole squares only, rows without gaps.
EXPORTED uint8_t* hevc_small(uint32_t factor)
{
  const uint32_t columns = hevc_width() / factor, rows = hevc_height() / factor;
  const uint32_t count = factor * factor;
  uint8_t* out = small.of(static_cast<size_t>(3) * columns * rows);
  if (!out) return nullptr;
  for (uint32_t y = 0; y < rows; y++)
    for (uint32_t x = 0; x < columns; x++) {
      uint32_t r = count / 2, g = count / 2, b = count / 2;
      for (uint32_t j = 0; j < factor; j++) {
        const uint8_t* from = rgb.at + (y * factor + j) * rgb_stride + 3 * x * factor;
        for (uint32_t i = 0; i < factor; i++, from += 3) {
          r += from[0];
          g += from[1];
          b += from[2];
        }
      }
      uint8_t* to = out + 3 * (static_cast<size_t>(y) * columns + x);
      to[0] = r / count;
      to[1] = g / count;
      to[2] = b / count;
    }
  return out;
}
