"""Paints batches of scenes in linear light, with the label maps. Coordinates are pixels, centres at .5.

Everything is a pointwise function of position, so that one compiled kernel paints one thing in all pictures of a batch.
"""

import torch

from fields import CARD, OBJECT, PANEL, Pictures, Things, by_name
from noise import hashed, ramp, value_noise

Tensor = torch.Tensor


def pixel_grid(height: int, width: int, device: torch.device) -> tuple[Tensor, Tensor]:
    y = torch.arange(height, device=device, dtype=torch.float32) + 0.5
    x = torch.arange(width, device=device, dtype=torch.float32) + 0.5
    return x[None, None, :].expand(1, height, width), y[None, :, None].expand(1, height, width)


def bench(pictures: Tensor, x: Tensor, y: Tensor) -> Tensor:
    """The bare bench, B x 3 x H x W."""
    p = by_name(pictures, Pictures)
    w = p.g6 * x + p.g7 * y + p.g8
    u = (p.g0 * x + p.g1 * y + p.g2) / w
    v = (p.g3 * x + p.g4 * y + p.g5) / w
    bend = p.warp * value_noise(u * p.warp_scale, v * p.warp_scale, p.seed)
    # cells: planks, tiles, checks, columns
    row = torch.floor(v / p.cell_h)
    shifted = u + row * p.cell_shift
    column = torch.floor(shifted / p.cell_w)
    within_u = shifted - column * p.cell_w
    within_v = v - row * p.cell_h
    tone = hashed(column, row, p.seed + 3) - 0.5
    off_u, off_v = u + 37.7 * column * p.cell_tone.abs().ceil(), v + 11.3 * row * p.cell_tone.abs().ceil()
    t = 0.5 + p.cell_tone * tone + p.cell_checker * (torch.remainder(row + column, 2) - 0.5)
    for i in range(4):
        amount, sx, sy = getattr(p, f"n{i}"), getattr(p, f"n{i}_sx"), getattr(p, f"n{i}_sy")
        t = t + amount * value_noise((off_u + bend) * sx, (off_v + bend) * sy, p.seed + 5 + i)
    ring = torch.frac(((off_v + bend) * p.ring_freq).abs())
    t = t + p.ring * (ring ** p.ring_sharp - 0.3)
    t = t + p.weave * torch.sin((u + 0.3 * bend) * p.weave_freq) * torch.sin((v - 0.3 * bend) * p.weave_freq)
    t = t + p.rib * torch.sin(u * p.rib_freq)
    t = t.clamp(-0.3, 1.3)
    hue = p.hue_noise * value_noise(off_u * p.n2_sx * 0.7 + 9, off_v * p.n2_sy * 0.7, p.seed + 11)
    line = torch.maximum(
        1 - ramp(0.5 * p.line_width, p.line_width + 0.6, torch.minimum(within_u, p.cell_w - within_u)),
        1 - ramp(0.5 * p.line_width, p.line_width + 0.6, torch.minimum(within_v, p.cell_h - within_v)),
    ) * p.line_share
    blot = value_noise(u * p.spot_scale, v * p.spot_scale, p.seed + 13) + 0.5 * value_noise(
        u * p.spot_scale * 2.3, v * p.spot_scale * 2.3, p.seed + 14
    )
    spot = ramp(1.2 - 2.4 * p.spot_share, 1.2 - 2.4 * p.spot_share + p.spot_soft, blot) * (p.spot_share > 0)
    # lines of print: dark dashes in rows, in blocks
    text_line = torch.frac((v / p.text_row).abs())
    word = hashed(torch.floor(u / p.text_col), torch.floor(v / p.text_row), p.seed + 17)
    block = value_noise(torch.floor(u / 70), torch.floor(v / (6 * p.text_row)) * 0.9, p.seed + 19)
    ink = p.text * (text_line > 0.35) * (word > 0.25) * (block > -0.55)
    ink = torch.maximum(ink, p.text * 0.8 * (block < -0.72) * ramp(-1, 1, tone))
    bias = torch.tensor([1.0, 0.2, -1.0], device=x.device)[None, :, None, None]
    first, second = colours(p.a_red, p.a_green, p.a_blue), colours(p.b_red, p.b_green, p.b_blue)
    colour = (first + t[:, None] * (second - first)) * (1 + hue[:, None] * bias)
    colour = colour + line[:, None] * (colours(p.line_red, p.line_green, p.line_blue) - colour)
    colour = colour + spot[:, None] * (colours(p.spot_red, p.spot_green, p.spot_blue) - colour)
    return (colour * (1 - 0.85 * ink[:, None])).clamp(0.003, 1.2)


def colours(red: Tensor, green: Tensor, blue: Tensor) -> Tensor:
    return torch.stack([red, green, blue], 1)


def shape_distance(p: Things, u: Tensor, v: Tensor) -> Tensor:
    """Distance inside the outline, in the thing's own units; negative outside."""
    us = u / (1 + p.taper * v / p.hh)
    us = us + p.bend_u * (v * v / p.hh - p.hh * 0.5)
    vs = v + p.bend_v * (u * u / p.hw - p.hw * 0.5)
    au, av = us.abs(), vs.abs()
    ex, ey = (au - (p.hw - p.round)).clamp(min=0), (av - (p.hh - p.round)).clamp(min=0)
    rounded = p.round - torch.sqrt(ex * ex + ey * ey + 1e-9)
    straight = torch.minimum(p.hw - au, p.hh - av)
    inside = torch.where((ex > 0) & (ey > 0), rounded, straight)
    return torch.minimum(inside, (p.hw + p.hh - p.chamfer - au - av) * 0.70711)


def glare_spot(p: Things, name: str, u: Tensor, v: Tensor) -> Tensor:
    turn = getattr(p, name + "_turn")
    c, s = torch.cos(turn), torch.sin(turn)
    du, dv = u - getattr(p, name + "_u"), v - getattr(p, name + "_v")
    a = ((du * c + dv * s) / getattr(p, name + "_ru")).abs()
    b = ((dv * c - du * s) / getattr(p, name + "_rv")).abs()
    soft = torch.exp(-0.5 * (a * a + b * b) ** 2)
    # a window: sharp sides and a cross of bars
    pane = (1 - ramp(0.9, 1.1, torch.maximum(a, b))) * ramp(0.02, 0.07, torch.minimum(a, b))
    return getattr(p, name + "_strength") * torch.lerp(soft, pane, getattr(p, name + "_square").expand_as(soft))


def printed_colour(p: Things, u: Tensor, v: Tensor, atlas: Tensor) -> Tensor:
    """The colour of the thing's printed picture, between its four nearest pixels."""
    rows, columns = atlas.shape[-2:]
    tx = ((u / p.hw + 1) * 0.5 * columns - 0.5).clamp(0, columns - 1.001)
    ty = ((v / p.hh + 1) * 0.5 * rows - 0.5).clamp(0, rows - 1.001)
    x0, y0 = tx.floor().long(), ty.floor().long()
    fx, fy = (tx - x0)[:, None], (ty - y0)[:, None]
    channel = torch.arange(3, device=u.device)[None, :, None, None]
    picture = p.texture.long().clamp(min=0)[:, None] * 3 + channel
    at = (picture * rows + y0[:, None]) * columns + x0[:, None]
    flat = atlas.reshape(-1)
    top = torch.lerp(flat[at], flat[at + 1], fx)
    bottom = torch.lerp(flat[at + columns], flat[at + columns + 1], fx)
    return torch.lerp(top, bottom, fy)


def thing(
    canvas: Tensor, ids: Tensor, glare: Tensor, covered: Tensor, card: Tensor, things: Tensor, atlas: Tensor,
    x: Tensor, y: Tensor, textured: bool,
) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
    """Paints one thing into each picture and brings the label maps up to date."""
    p = by_name(things, Things)
    w = p.h6 * x + p.h7 * y + p.h8
    u = (p.h0 * x + p.h1 * y + p.h2) / w
    v = (p.h3 * x + p.h4 * y + p.h5) / w
    ahead = (w > 0) & (p.used > 0)
    # thing's units per pixel, from the map's Jacobian
    jac = ((p.h0 - u * p.h6) * (p.h4 - v * p.h7) - (p.h1 - u * p.h7) * (p.h3 - v * p.h6)) / (w * w)
    unit = torch.sqrt(jac.abs() + 1e-9)
    inside = shape_distance(p, u, v)
    shadow = ramp(-p.shadow_soft, p.shadow_soft, shape_distance(p, u - p.shadow_u, v - p.shadow_v))
    canvas = canvas * (1 - torch.where(ahead, p.shadow_depth * shadow, torch.zeros_like(shadow)))[:, None]
    cover = (inside / unit + 0.5).clamp(0, 1) * ahead
    long = (u - p.hole_u).abs() - p.hole_long
    hole_d = p.hole_r - torch.sqrt(long.clamp(min=0) ** 2 + (v - p.hole_v) ** 2 + 1e-9)
    hole = (hole_d / unit + 0.5).clamp(0, 1) * (p.hole_r > 0)
    # the surface
    blend = (0.5 + p.grad_u * u / p.hw + p.grad_v * v / p.hh).clamp(0, 1)
    level = 1 + p.sparkle * (hashed(torch.floor(u / unit), torch.floor(v / unit), p.seed) - 0.5) * 3.4
    level = level + p.mottle * value_noise(u * p.mottle_scale, v * p.mottle_scale, p.seed + 1)
    level = level + p.streak * value_noise(u * 0.02, v * 1.7, p.seed + 2)
    rim = (1 - inside / (p.bevel + 1e-6)).clamp(0, 1)
    toward = p.lit_u * u / p.hw + p.lit_v * v / p.hh
    level = level + p.bevel_lit * rim * rim * toward.sign() * toward.abs().clamp(max=1) * (p.bevel > 0)
    across = (v / p.hh).clamp(-1, 1)
    level = level * (1 - p.dome * across * across) * (1 + 0.4 * p.dome * across * p.lit_v)
    lamp = glare_spot(p, "g0", u, v) + glare_spot(p, "g1", u, v)
    mirrored = value_noise(u * p.reflection_scale, v * p.reflection_scale * 0.6, p.seed + 4)
    lamp = lamp + p.reflection * ramp(0.0, 0.55, mirrored)
    alpha = cover * (1 - hole) * p.opacity
    first = colours(p.red, p.green, p.blue)
    if textured:
        colour = first * printed_colour(p, u, v, atlas)
    else:
        colour = first + blend[:, None] * (colours(p.red2, p.green2, p.blue2) - first)
    surface = (colour * level.clamp(min=0.05)[:, None] + lamp[:, None]).clamp(min=0.002)
    canvas = canvas + alpha[:, None] * (surface - canvas)
    # labels
    here = cover > 0.5
    luma = 0.25 * p.red + 0.65 * p.green + 0.1 * p.blue
    lit = (lamp > 0.05 + 0.12 * luma).to(glare.dtype)
    zero = torch.zeros_like(glare)
    is_panel, is_object, is_card = p.kind == PANEL, p.kind == OBJECT, p.kind == CARD
    ids = torch.where(here & ~is_object, torch.where(is_panel, p.id, zero), ids)
    glare = torch.where(here, torch.where(is_panel, lit, zero), glare)
    covered = torch.where(here, torch.where(is_object | (is_panel & (hole > 0.5)), zero + 1, zero), covered)
    card = torch.where(here & ~is_object, torch.where(is_card, zero + 1, zero), card)
    return canvas, ids, glare, covered, card


def lighting(pictures: Tensor, x: Tensor, y: Tensor, width: int, height: int) -> Tensor:
    """Light over the frame, B x 3 x H x W: fall-off, vignette, soft and hard shadows, blinds."""
    p = by_name(pictures, Pictures)
    nx, ny = x / width - 0.5, y / height - 0.5
    level = torch.exp(p.light_u * nx + p.light_v * ny - p.vignette * (nx * nx + ny * ny))
    dark = p.s0_depth * ramp(-p.s0_soft, p.s0_soft, (x - p.s0_x) * p.s0_nx + (y - p.s0_y) * p.s0_ny)
    for name in ("s1", "s2"):
        turn = getattr(p, name + "_turn")
        c, s = torch.cos(turn), torch.sin(turn)
        dx, dy = x - getattr(p, name + "_x"), y - getattr(p, name + "_y")
        a = (dx * c + dy * s) / getattr(p, name + "_rx")
        b = (dy * c - dx * s) / getattr(p, name + "_ry")
        soft = getattr(p, name + "_soft")
        blob = ramp(-soft, soft, 1 - torch.sqrt(a * a + b * b + 1e-9))
        dark = 1 - (1 - dark) * (1 - getattr(p, name + "_depth") * blob)
    stripes = torch.sin((x * torch.cos(p.blind_turn) + y * torch.sin(p.blind_turn)) * p.blind_freq)
    dark = 1 - (1 - dark) * (1 - p.blind * ramp(-0.4, 0.4, stripes))
    level = level * (1 - dark)
    tint = p.shadow_blue * dark
    return torch.stack([level * (1 - tint), level, level * (1 + tint)], 1)
