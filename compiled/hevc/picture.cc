// One HEVC intra picture at a time, decoded by libde265 and converted to RGB: what src/core/photo/heif/hevc.ts calls.
// Under the same licence as libde265: LGPL, version 3 or later.
#include "libde265/de265.h"
#include "rgb.h"

namespace {

de265_decoder_context* decoder = nullptr;
const de265_image* picture = nullptr;
bool is_spoilt = false; // by a broken picture, whose warnings would be taken for the next one's

Room coded;

Planes planes_of_picture()
{
  int strides[3];
  const uint8_t* at[3];
  for (int i = 0; i < 3; i++) at[i] = de265_get_image_plane(picture, i, &strides[i]);
  const auto plane = [&](int i) { return Plane{at[i], static_cast<size_t>(strides[i])}; };
  return {de265_get_image_width(picture, 0), de265_get_image_height(picture, 0), plane(0), plane(1), plane(2)};
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
EXPORTED uint32_t hevc_rgb_stride() { return static_cast<uint32_t>(stride_of_rgb(planes_of_picture())); }

// Converts to RGB with the matrix's factors in 1/256. Answers where the pixels lie, 0 where that cannot be done.
EXPORTED uint8_t* hevc_rgb(int r_cr, int g_cb, int g_cr, int b_cb)
{
  const Planes planes = planes_of_picture();
  const size_t groups = in_groups(planes.width);
  const bool is_padded = planes.y.stride >= GROUP_PX * groups && planes.cb.stride >= GROUP_PX / 2 * groups &&
                         planes.cr.stride >= GROUP_PX / 2 * groups;
  return is_padded ? to_rgb(planes, {r_cr, g_cb, g_cr, b_cb}) : nullptr;
}

// The picture so many times smaller, of what `hevc_rgb` made.
EXPORTED uint8_t* hevc_small(uint32_t factor) { return to_small(planes_of_picture(), factor); }
