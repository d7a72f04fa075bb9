"""Seeded noise of position for whole batches of pictures: pure functions of coordinates, so that they fuse on a GPU."""

import torch

Tensor = torch.Tensor


def hashed(x: Tensor, y: Tensor, seed: Tensor) -> Tensor:
    """0-1, unrelated between neighbouring whole numbers x, y. Products and fractions alone: quick, and short to compile."""
    a = (x + seed * 3.17) * 0.1031
    b = (y + seed * 7.31) * 0.1030
    a, b = a - torch.floor(a), b - torch.floor(b)
    d = 2 * a * b + a * a + 33.33 * (2 * a + b)
    a, b = a + d, b + d
    c = (a + b) * a
    return c - torch.floor(c)


def value_noise(x: Tensor, y: Tensor, seed: Tensor) -> Tensor:
    """-1 to 1, smooth, one knoll per unit."""
    x0, y0 = torch.floor(x), torch.floor(y)
    tx, ty = x - x0, y - y0
    tx, ty = tx * tx * (3 - 2 * tx), ty * ty * (3 - 2 * ty)
    top = torch.lerp(hashed(x0, y0, seed), hashed(x0 + 1, y0, seed), tx)
    bottom = torch.lerp(hashed(x0, y0 + 1, seed), hashed(x0 + 1, y0 + 1, seed), tx)
    return torch.lerp(top, bottom, ty) * 2 - 1


def ramp(lo: Tensor | float, hi: Tensor | float, x: Tensor) -> Tensor:
    """0 below lo, 1 above hi, smooth between."""
    t = ((x - lo) / (hi - lo)).clamp(0, 1)
    return t * t * (3 - 2 * t)
