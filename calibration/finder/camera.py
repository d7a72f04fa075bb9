"""From linear light to the values in a file: blur, noise, white balance, tone curve, encoding, compression."""

import math
import torch
import torch.nn.functional as F

from fields import PICTURE_AT, Pictures, by_name

Tensor = torch.Tensor
REACH = 5


def blurred(picture: Tensor, pictures: Tensor) -> Tensor:
    """Each picture with its own round blur and its own blur along one direction (a hand that moved)."""
    p = {name: pictures[:, PICTURE_AT[name]] for name in ("blur", "motion", "motion_turn")}
    at = torch.arange(-REACH, REACH + 1, device=picture.device, dtype=torch.float32)
    y, x = torch.meshgrid(at, at, indexing="ij")
    along = x * torch.cos(p["motion_turn"])[:, None, None] + y * torch.sin(p["motion_turn"])[:, None, None]
    square = (x * x + y * y)[None] - along * along
    wide = (p["blur"] ** 2 + p["motion"] ** 2 + 0.02)[:, None, None]
    narrow = (p["blur"] ** 2 + 0.02)[:, None, None]
    kernel = torch.exp(-0.5 * (along * along / wide + square / narrow))
    kernel = kernel / kernel.sum((1, 2), keepdim=True)
    b, c, h, w = picture.shape
    flat = F.pad(picture, (REACH,) * 4, mode="reflect").reshape(1, b * c, h + 2 * REACH, w + 2 * REACH)
    return F.conv2d(flat, kernel.repeat_interleave(c, 0)[:, None], groups=b * c).reshape(b, c, h, w)


def tone_curve(x: Tensor, p: Pictures) -> Tensor:
    """Linear 0-1 to shown linear 0-1. Kinds 0 and 1 for training, kind 2 held out."""
    a, b, c = (getattr(p, f"tone_{n}")[:, None] for n in "abc")
    x = x.clamp(0, 4)
    top = 1.15**a / (1.15**a * b + c**0.3 * (1.15 + 0.25) ** 0.4)
    filmic = (x**a / (x**a * b + c**0.3 * (x + 0.25) ** 0.4)) / top
    v = (x.clamp(max=1.1) / 1.1).clamp(min=1e-6) ** (1 / 2.2)
    v = (1 - b * 0.5) * v + 0.5 * b * v * v * (3 - 2 * v)
    blend = (v - (c - 0.03) * 2 * v * (1 - v) ** 4).clamp(min=1e-6) ** 2.2
    half = 0.25 + 0.3 * b
    logistic = (x**a / (x**a + half**a)) * (1 + half**a)
    kind = p.tone[:, None]
    return torch.where(kind == 0, filmic, torch.where(kind == 1, blend, logistic)).clamp(0, 1)


def encoded(x: Tensor) -> Tensor:
    """sRGB, IEC 61966-2-1."""
    return torch.where(x <= 0.0031308, 12.92 * x, 1.055 * x.clamp(min=1e-6) ** (1 / 2.4) - 0.055)


def develop(light: Tensor, pictures: Tensor, noise: Tensor, coarse: Tensor) -> Tensor:
    """Noise (standard normals of the picture's size, and of a third of it for blotches), colour, curve, encoding."""
    p = by_name(pictures, Pictures)
    grain = torch.sqrt(light.clamp(min=0) * 0.02 + 2e-4) * p.noise[:, None]
    blotch = F.interpolate(coarse, size=light.shape[-2:], mode="bilinear") * p.chroma_noise[:, None]
    light = (light + p.flare[:, None] + grain * noise) * (1 + blotch)
    gains = torch.stack([p.gain_red, torch.ones_like(p.gain_red), p.gain_blue], 1)
    light = light * gains * p.exposure[:, None]
    grey = (light * torch.tensor([0.25, 0.65, 0.1], device=light.device)[None, :, None, None]).sum(1, keepdim=True)
    light = grey + (light - grey) * p.saturation[:, None]
    return encoded(tone_curve(light, p)).clamp(0, 1)


def cosine_matrix(device: torch.device) -> Tensor:
    n = torch.arange(8, device=device, dtype=torch.float32)
    m = torch.cos(math.pi * (2 * n[None] + 1) * n[:, None] / 16) * 0.5
    m[0] *= math.sqrt(0.5)
    return m


def compressed(picture: Tensor, pictures: Tensor) -> Tensor:
    """Quantises 8 x 8 cosine blocks as a JPEG would, coarser towards fine detail and in colour."""
    strength = pictures[:, PICTURE_AT["jpeg"]]
    b, _, h, w = picture.shape
    to_ycc = torch.tensor(
        [[0.299, 0.587, 0.114], [-0.1687, -0.3313, 0.5], [0.5, -0.4187, -0.0813]], device=picture.device
    )
    ycc = torch.einsum("ij,bjhw->bihw", to_ycc, picture)
    m = cosine_matrix(picture.device)
    blocks = ycc.reshape(b, 3, h // 8, 8, w // 8, 8).permute(0, 1, 2, 4, 3, 5)
    freq = m @ blocks @ m.T
    n = torch.arange(8, device=picture.device, dtype=torch.float32)
    step = (0.02 + 0.012 * (n[:, None] + n[None, :])) * strength.reshape(b, 1, 1, 1, 1, 1)
    step = step * torch.tensor([1.0, 2.2, 2.2], device=picture.device).reshape(1, 3, 1, 1, 1, 1) + 1e-5
    freq = torch.round(freq / step) * step
    ycc = (m.T @ freq @ m).permute(0, 1, 2, 4, 3, 5).reshape(b, 3, h, w)
    return torch.einsum("ij,bjhw->bihw", torch.linalg.inv(to_ycc), ycc).clamp(0, 1)

