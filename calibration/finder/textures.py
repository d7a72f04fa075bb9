"""Printed things as small pictures in linear light: the project's card and strips, charts, pages, screens, labels."""

import json
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
ROWS, COLUMNS = 160, 224
# each picture is kept at three sharpnesses, for things drawn large, middling and small
LEVELS = 3


_D50 = np.array([0.9642, 1.0, 0.8249])
# XYZ (D50) to linear sRGB, Bradford adapted (ICC profile of IEC 61966-2-1, inverted)
_TO_SRGB = np.array([[3.1339, -1.6169, -0.4906], [-0.9788, 1.9161, 0.0335], [0.0719, -0.2290, 1.4052]])


def lab_to_linear(lab) -> np.ndarray:
    fy = (lab[0] + 16) / 116
    f = np.array([fy + lab[1] / 500, fy, fy - lab[2] / 200])
    xyz = _D50 * np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))
    return np.clip(_TO_SRGB @ xyz, 0.003, 1.1)


def box_blur(picture: np.ndarray, reach: int) -> np.ndarray:
    for axis in (1, 2):
        edges = [(0, 0)] * 3
        edges[axis] = (reach, reach)
        sums = np.cumsum(np.pad(picture, edges, mode="edge"), axis=axis)
        first = np.take(sums, [0], axis=axis) * 0
        sums = np.concatenate([first, sums], axis=axis)
        n = picture.shape[axis]
        width = 2 * reach + 1
        picture = (np.take(sums, range(width, width + n), axis=axis) - np.take(sums, range(n), axis=axis)) / width
    return picture


class Sheet:
    """A picture drawn at four times its size, in its own mm."""

    def __init__(self, size_mm, paper):
        self.size, self.over = size_mm, 4
        self.pixels = np.empty((3, ROWS * self.over, COLUMNS * self.over), np.float32)
        self.pixels[:] = np.asarray(paper, np.float32)[:, None, None]

    def rect(self, x, y, w, h, colour):
        sx = COLUMNS * self.over / self.size[0]
        sy = ROWS * self.over / self.size[1]
        left, right = round(x * sx), max(round(x * sx) + 1, round((x + w) * sx))
        top, bottom = round(y * sy), max(round(y * sy) + 1, round((y + h) * sy))
        self.pixels[:, max(0, top) : max(0, bottom), max(0, left) : max(0, right)] = np.asarray(colour)[:, None, None]

    def done(self) -> np.ndarray:
        o = self.over
        return self.pixels.reshape(3, ROWS, o, COLUMNS, o).mean((2, 4))


def own_card(name: str) -> np.ndarray:
    """A card file's layout: paper, patches, tags, rule and writing lines."""
    card = json.loads((ROOT / "calibration/cards" / f"{name}.card.json").read_text())
    codes = json.loads((ROOT / "shared/tables/tag36h11.json").read_text())["codes"]
    sheet = Sheet(card["size_mm"], (0.86, 0.86, 0.85))
    for patch in card["patches"]:
        sheet.rect(*patch["rect_mm"], lab_to_linear(patch["lab"]))
    for marker in card["markers"]:
        (x0, y0), (x1, _), *_ = marker["corners_mm"]
        cell = (x1 - x0) / 8
        code = int(codes[marker["id"]], 0) if isinstance(codes[marker["id"]], str) else codes[marker["id"]]
        for i in range(64):
            row, column = i // 8 - 1, i % 8 - 1
            border = row < 0 or column < 0 or row > 5 or column > 5
            if border or not (code >> (35 - (row * 6 + column))) & 1:
                sheet.rect(x0 + (i % 8) * cell, y0 + (i // 8) * cell, cell, cell, (0.02,) * 3)
    furniture = card.get("furniture", {})
    for line in furniture.get("lines", []):
        x, y = line["from_mm"]
        sheet.rect(x, y - 0.2, line["length_mm"], 0.4, (0.3,) * 3)
    if "rule" in furniture:
        x, y = furniture["rule"]["from_mm"]
        sheet.rect(x, y - 1.5, furniture["rule"]["length_mm"], 1.5, (0.55,) * 3)
    return sheet.done()


def chart(random: np.random.Generator) -> np.ndarray:
    """A grid of patches on a black, grey or white board."""
    columns, rows = int(random.integers(3, 10)), int(random.integers(2, 7))
    board = np.full(3, random.choice([0.015, 0.04, 0.18, 0.8]))
    sheet = Sheet((100, 70), board)
    gap = random.uniform(0.06, 0.25)
    for i in range(columns):
        for j in range(rows):
            colour = random.uniform(0.02, 0.8, 3) ** random.uniform(0.7, 2)
            if random.random() < 0.25:
                colour = np.full(3, random.uniform(0.02, 0.9))
            w, h = 94 / columns, 64 / rows
            sheet.rect(3 + (i + gap / 2) * w, 3 + (j + gap / 2) * h, (1 - gap) * w, (1 - gap) * h, colour)
    return sheet.done()


def page(random: np.random.Generator) -> np.ndarray:
    """A printed or written page: lines, headings, pictures, tables."""
    paper = np.array([0.8, 0.79, 0.76]) * random.uniform(0.75, 1.1)
    if random.random() < 0.2:
        paper = np.array([0.75, 0.65, 0.3]) * random.uniform(0.6, 1.1)
    ink = np.full(3, random.uniform(0.02, 0.2))
    sheet = Sheet((100, 70), paper)
    pitch = random.uniform(1.8, 5)
    y = random.uniform(3, 8)
    while y < 66:
        kind = random.random()
        if kind < 0.08:
            w, h = random.uniform(20, 60), random.uniform(8, 25)
            x = random.uniform(4, 95 - w)
            for _ in range(12):
                part = random.uniform(0, 0.8, 2)
                sheet.rect(x + part[0] * w, y + part[1] * h, w * 0.3, h * 0.3, random.uniform(0.03, 0.7, 3))
            y += h + 2
        elif kind < 0.14:
            sheet.rect(5, y, random.uniform(20, 80), pitch * 1.4, ink)
            y += pitch * 2.6
        else:
            x, end = random.uniform(4, 8), random.uniform(50, 96)
            while x < end:
                word = random.uniform(1, 8)
                sheet.rect(x, y, min(word, end - x), pitch * 0.45, ink * random.uniform(1, 2.5) + 0.05)
                x += word + random.uniform(0.8, 1.6)
            y += pitch
    return sheet.done()


def screen(random: np.random.Generator) -> np.ndarray:
    """A telephone's or a gauge's face: dark glass with bright blocks."""
    sheet = Sheet((70, 100), np.full(3, random.uniform(0.005, 0.03)))
    lit = random.random() < 0.6
    if lit:
        sheet.rect(4, 6, 62, 88, random.uniform(0.02, 0.6, 3))
        for _ in range(int(random.integers(4, 25))):
            x, y = random.uniform(6, 50), random.uniform(8, 85)
            sheet.rect(x, y, random.uniform(4, 14), random.uniform(2, 12), random.uniform(0.02, 0.9, 3))
    sheet.rect(8, 8, 10, 10, np.full(3, 0.01))
    return sheet.done()


def ruler(random: np.random.Generator) -> np.ndarray:
    body = random.choice([[0.6, 0.6, 0.62], [0.7, 0.6, 0.1], [0.55, 0.4, 0.2], [0.85, 0.85, 0.85]])
    sheet = Sheet((300, 30), body)
    for mm in range(0, 300, 5):
        sheet.rect(mm, 0, 1.2, 14 if mm % 50 == 0 else 8, np.full(3, 0.03))
    return sheet.done()


def label(random: np.random.Generator) -> np.ndarray:
    sheet = Sheet((60, 30), random.choice([[0.85, 0.84, 0.82], [0.8, 0.7, 0.2], [0.7, 0.75, 0.85]]))
    for row in range(int(random.integers(1, 4))):
        x = 5.0
        while x < random.uniform(25, 55):
            w = random.uniform(1.5, 6)
            sheet.rect(x, 5 + 8 * row, w, random.uniform(2.5, 5), np.full(3, random.uniform(0.02, 0.15)))
            x += w + 1.2
    return sheet.done()


KINDS = {"chart": (chart, 24), "page": (page, 40), "screen": (screen, 12), "ruler": (ruler, 6), "label": (label, 16)}


def make_atlas(seed: int) -> tuple[np.ndarray, dict[str, list[int]]]:
    """All pictures, N x 3 x ROWS x COLUMNS, and where each kind's lie; picture i at sharpness s is number i * LEVELS + s."""
    random = np.random.default_rng(seed)
    pictures = [own_card("sprayout-a6"), own_card("sprayout-strip-1"), own_card("sprayout-strip-2")]
    where: dict[str, list[int]] = {"card": [0], "strip": [1, 2]}
    for name, (draw, count) in KINDS.items():
        where[name] = list(range(len(pictures), len(pictures) + count))
        pictures += [draw(random) for _ in range(count)]
    levels = [[p, box_blur(p, 1), box_blur(box_blur(p, 3), 2)] for p in pictures]
    return np.stack([one for three in levels for one in three]).astype(np.float32), where


def level_for(width_px: float) -> int:
    """Which sharpness suits a thing that is drawn this wide."""
    per_pixel = COLUMNS / max(1.0, width_px)
    return 0 if per_pixel < 1.3 else 1 if per_pixel < 3 else 2
