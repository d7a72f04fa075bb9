// Planes of luma and chroma to RGB, for whatever decoder made them.
// Under the same licence as picture.cc: LGPL, version 3 or later.
#pragma once
#include <stdint.h>
#include <stdlib.h>
#include <wasm_simd128.h>

#define EXPORTED extern "C" __attribute__((used))

namespace {

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

// A plane's samples, and bytes from row to row: enough of them for whole groups of pixels.
struct Plane {
  const uint8_t* at;
  size_t stride;
};

// 8 bit, 4:2:0, full range.
struct Planes {
  int width, height;
  Plane y, cb, cr;
};

// From chroma to RGB, in 1/256.
struct Factors {
  int r_cr, g_cb, g_cr, b_cb;
};

Room rgb, small;

// Bytes from row to row of what `to_rgb` answers.
size_t stride_of_rgb(const Planes& from) { return 3 * GROUP_PX * in_groups(from.width); }

// Each chroma value serves the 2 by 2 pixels around it. Answers where the pixels lie, 0 without memory.
uint8_t* to_rgb(const Planes& from, const Factors& factors)
{
  const size_t groups = in_groups(from.width), stride = stride_of_rgb(from);
  uint8_t* out = rgb.of(stride * from.height);
  if (!out) return nullptr;
  const v128_t zero = wasm_i16x8_splat(0), middle = wasm_i16x8_splat(128);
  const v128_t rr = wasm_i16x8_splat(factors.r_cr), gb = wasm_i16x8_splat(factors.g_cb), gr = wasm_i16x8_splat(factors.g_cr),
               bb = wasm_i16x8_splat(factors.b_cb);
  for (int row = 0; row < from.height; row += 2) {
    const uint8_t* cb_row = from.cb.at + static_cast<size_t>(row / 2) * from.cb.stride;
    const uint8_t* cr_row = from.cr.at + static_cast<size_t>(row / 2) * from.cr.stride;
    for (size_t i = 0; i < groups; i++) {
      v128_t cb = wasm_i16x8_sub(wasm_u16x8_load8x8(cb_row + GROUP_PX / 2 * i), middle);
      v128_t cr = wasm_i16x8_sub(wasm_u16x8_load8x8(cr_row + GROUP_PX / 2 * i), middle);
      v128_t r = chroma_offset(cb, cr, zero, rr);
      v128_t g = chroma_offset(cb, cr, gb, gr);
      v128_t b = chroma_offset(cb, cr, bb, zero);
      for (int k = row; k < row + 2 && k < from.height; k++) {
        v128_t y = wasm_v128_load(from.y.at + static_cast<size_t>(k) * from.y.stride + GROUP_PX * i);
        store_rgb(out + k * stride + 3 * GROUP_PX * i, with_offset(y, r), with_offset(y, g),
                  with_offset(y, b));
      }
    }
  }
  return out;
}

// Means over squares of `factor` pixels, a power of 2, of what `to_rgb` made; whole squares only, rows without gaps.
uint8_t* to_small(const Planes& from, uint32_t factor)
{
  const uint32_t columns = from.width / factor, rows = from.height / factor;
  const uint32_t count = factor * factor;
  uint8_t* out = small.of(static_cast<size_t>(3) * columns * rows);
  if (!out) return nullptr;
  for (uint32_t y = 0; y < rows; y++)
    for (uint32_t x = 0; x < columns; x++) {
      uint32_t r = count / 2, g = count / 2, b = count / 2;
      for (uint32_t j = 0; j < factor; j++) {
        const uint8_t* pixel = rgb.at + (y * factor + j) * stride_of_rgb(from) + 3 * x * factor;
        for (uint32_t i = 0; i < factor; i++, pixel += 3) {
          r += pixel[0];
          g += pixel[1];
          b += pixel[2];
        }
      }
      uint8_t* to = out + 3 * (static_cast<size_t>(y) * columns + x);
      to[0] = r / count;
      to[1] = g / count;
      to[2] = b / count;
    }
  return out;
}

} // namespace
