// Planes that another decoder made, converted to RGB as picture.cc does: what src/core/photo/heif/planes.ts calls.
// Under the same licence as picture.cc: LGPL, version 3 or later.
#include "rgb.h"

namespace {

Room room;
Planes planes = {};

} // namespace

// Answers where a picture's planes belong, luma, blue and red chroma, rows without gaps; 0 without memory.
EXPORTED uint8_t* planes_begin(int width, int height)
{
  const size_t luma = static_cast<size_t>(width) * height;
  const size_t columns = (static_cast<size_t>(width) + 1) / 2, rows = (static_cast<size_t>(height) + 1) / 2;
  // the last row's group may reach beyond it
  uint8_t* at = room.of(luma + 2 * columns * rows + GROUP_PX);
  if (!at) return nullptr;
  planes = {width, height, {at, static_cast<size_t>(width)}, {at + luma, columns}, {at + luma + columns * rows, columns}};
  return at;
}

// Bytes from row to row of what `planes_rgb` answers.
EXPORTED uint32_t planes_rgb_stride() { return static_cast<uint32_t>(stride_of_rgb(planes)); }

// Converts to RGB with the matrix's factors in 1/256. Answers where the pixels lie, 0 without memory.
EXPORTED uint8_t* planes_rgb(int r_cr, int g_cb, int g_cr, int b_cb) { return to_rgb(planes, {r_cr, g_cb, g_cr, b_cb}); }

// The picture so many times smaller, of what `planes_rgb` made.
EXPORTED uint8_t* planes_small(uint32_t factor) { return to_small(planes, factor); }
