"""What panels lie on: families of benches, each a random setting of the painter's one bench."""

import numpy as np

Random = np.random.Generator
Numbers = dict[str, float]


def colour(name: str, rgb) -> Numbers:
    return {f"{name}_red": float(rgb[0]), f"{name}_green": float(rgb[1]), f"{name}_blue": float(rgb[2])}


def two(random: Random, first, second, spread: float = 0.25) -> Numbers:
    """Two colours, each made lighter or darker by chance."""
    level = np.exp(random.normal(0, spread))
    tint = np.exp(random.normal(0, 0.06, 3))
    a, b = np.array(first) * level * tint, np.array(second) * level * tint * np.exp(random.normal(0, spread / 2))
    return colour("a", np.clip(a, 0.004, 0.9)) | colour("b", np.clip(b, 0.004, 0.9))


def noise(i: int, amount: float, sx: float, sy: float | None = None) -> Numbers:
    return {f"n{i}": amount, f"n{i}_sx": sx, f"n{i}_sy": sx if sy is None else sy}


def cells(w: float, h: float, **more: float) -> Numbers:
    return {"cell_w": w, "cell_h": h} | more


def wood(r: Random) -> Numbers:
    dark = r.random() < 0.35
    ends = ((0.2, 0.12, 0.06), (0.06, 0.035, 0.018)) if dark else ((0.6, 0.42, 0.24), (0.24, 0.13, 0.055))
    f = r.uniform(0.5, 2)
    plank = r.uniform(40, 200)
    return (
        two(r, *ends)
        | noise(0, 0.15, 0.004 * f, 0.02 * f) | noise(1, 0.12, 0.06 * f, 0.9 * f)
        | noise(2, 0.08, 0.19 * f, 0.5) | noise(3, 0.1, 0.004, 0.05 * f)
        | {"warp": r.uniform(3, 16), "warp_scale": 0.01 * f, "ring": r.uniform(0, 0.5), "ring_freq": r.uniform(0.05, 0.18), "ring_sharp": 3}
        | cells(r.uniform(200, 900), plank, cell_shift=r.uniform(50, 200), cell_tone=r.uniform(0, 0.4), line_width=r.uniform(0, 2), line_share=0.8)
        | colour("line", (0.03, 0.02, 0.012))
    )


def plywood(r: Random) -> Numbers:
    """Sheet wood or fibre board, bare or painted over."""
    base = r.choice([[0.5, 0.36, 0.2], [0.3, 0.2, 0.11], [0.55, 0.5, 0.4], [0.2, 0.25, 0.3], [0.7, 0.7, 0.68]])
    return (
        two(r, base, np.array(base) * 0.65)
        | noise(0, 0.2, 0.006, 0.03) | noise(1, 0.1, 0.4) | noise(2, 0.1, 0.05, 0.6) | noise(3, 0.06, 0.9)
        | splats(r, 0.2)
    )


def splats(r: Random, chance: float) -> Numbers:
    if r.random() > chance:
        return {}
    return {"spot_share": r.uniform(0.1, 0.3), "spot_scale": r.uniform(0.02, 0.15), "spot_soft": 0.06} | colour(
        "spot", r.uniform(0.02, 0.7, 3)
    )


def cloth(r: Random) -> Numbers:
    """Dust sheet or canvas, often with old paint on it."""
    base = r.choice([[0.6, 0.57, 0.5], [0.12, 0.14, 0.2], [0.3, 0.3, 0.3], [0.4, 0.1, 0.08], [0.1, 0.2, 0.12]])
    return (
        two(r, base, np.array(base) * 0.5)
        | noise(0, 0.3, 0.008, 0.012) | noise(1, 0.15, 0.5, 0.12) | noise(2, 0.15, 0.12, 0.5) | noise(3, r.uniform(0, 0.3), 0.02)
        | {"weave": r.uniform(0, 0.3), "weave_freq": r.uniform(0.9, 2.6), "warp": r.uniform(2, 20), "warp_scale": 0.012}
        | splats(r, 0.6)
    )


def concrete(r: Random) -> Numbers:
    return (
        two(r, (0.36, 0.35, 0.33), (0.17, 0.165, 0.155))
        | noise(0, 0.3, 0.008) | noise(1, 0.18, 0.035) | noise(2, 0.14, 0.35) | noise(3, r.uniform(0.05, 0.2), 0.9)
        | cells(r.uniform(300, 900), r.uniform(300, 900), line_width=r.uniform(0, 3), line_share=float(r.random() < 0.3))
        | colour("line", (0.05, 0.05, 0.045)) | splats(r, 0.35)
    )


def grass(r: Random) -> Numbers:
    return (
        two(r, (0.16, 0.22, 0.05), (0.02, 0.045, 0.01), 0.35)
        | noise(0, 0.3, 0.02) | noise(1, 0.55, 0.25, 0.07) | noise(2, 0.5, 0.09, 0.35) | noise(3, 0.4, 0.6)
        | {"warp": 12.0, "warp_scale": 0.04, "hue_noise": r.uniform(0.1, 0.5)}
        | ({"spot_share": 0.22, "spot_scale": 0.12, "spot_soft": 0.2} | colour("spot", (0.45, 0.4, 0.2)) if r.random() < 0.4 else {})
    )


def booth(r: Random) -> Numbers:
    """Booth wall or sheet metal: painted, ribbed or plain, with overspray."""
    base = r.choice([[0.75, 0.75, 0.74], [0.45, 0.47, 0.5], [0.6, 0.55, 0.4], [0.16, 0.17, 0.18]])
    return (
        two(r, base, np.array(base) * 0.75)
        | noise(0, 0.35, 0.006) | noise(1, 0.1, 0.03) | noise(2, 0.05, 0.9) | noise(3, r.uniform(0, 0.2), 0.01, 1.2)
        | {"rib": r.uniform(0, 0.6) * float(r.random() < 0.6), "rib_freq": r.uniform(0.08, 0.5)}
        | cells(r.uniform(120, 600), 4000, line_width=r.uniform(1, 4), line_share=float(r.random() < 0.4))
        | colour("line", np.array(base) * 0.3)
    )


def newspaper(r: Random) -> Numbers:
    paper = np.array([0.66, 0.63, 0.56]) if r.random() < 0.7 else np.array([0.5, 0.36, 0.2])
    row = r.uniform(4, 9)
    return (
        two(r, paper, paper * 0.86, 0.12)
        | noise(0, 0.4, 0.012) | noise(1, 0.2, 0.05)
        | {"text": r.uniform(0.5, 1) * float(paper[2] > 0.3), "text_row": row, "text_col": r.uniform(3, 9), "warp": r.uniform(0, 6), "warp_scale": 0.01}
        | cells(r.uniform(60, 180), r.uniform(150, 500), cell_tone=0.2, line_width=r.uniform(1, 5), line_share=0.9)
        | colour("line", paper)
    )


def tiles(r: Random) -> Numbers:
    base, other = r.uniform(0.05, 0.7, 3) * 0.3 + r.uniform(0.05, 0.6), np.full(3, r.uniform(0.02, 0.8))
    w = r.uniform(25, 160)
    return (
        two(r, base, other)
        | noise(0, 0.08, 0.02) | noise(1, 0.06, 0.2)
        | cells(w, w * r.choice([1, 1, 0.5, 2]), cell_shift=float(r.choice([0, 0.5])) * w, cell_checker=r.uniform(0, 0.9) * float(r.random() < 0.6),
                cell_tone=r.uniform(0, 0.3), line_width=r.uniform(0.5, 5), line_share=float(r.random() < 0.8))
        | colour("line", np.full(3, r.choice([0.03, 0.2, 0.6])))
    )


def cardboard(r: Random) -> Numbers:
    return (
        two(r, (0.48, 0.33, 0.19), (0.36, 0.24, 0.13))
        | noise(0, 0.3, 0.01) | noise(1, 0.15, 0.3, 0.02) | noise(2, 0.1, 0.8)
        | {"rib": r.uniform(0, 0.25), "rib_freq": r.uniform(0.4, 1.2), "text": r.uniform(0, 0.7) * float(r.random() < 0.2), "text_row": 14.0, "text_col": 9.0}
        | cells(r.uniform(150, 600), r.uniform(200, 700), line_width=r.uniform(0.5, 3), line_share=float(r.random() < 0.5))
        | colour("line", (0.16, 0.1, 0.05)) | splats(r, 0.2)
    )


def plain(r: Random) -> Numbers:
    """Grey board, paper, laminate, brushed steel: nearly even."""
    base = np.full(3, np.exp(r.uniform(np.log(0.012), np.log(0.85)))) * np.exp(r.normal(0, 0.12, 3))
    return (
        two(r, base, base * 0.8, 0.1)
        | noise(0, 0.3, 0.008) | noise(1, 0.1, 0.5) | noise(2, r.uniform(0, 0.4), 0.01, 1.3) | noise(3, 0.05, 0.9)
    )


def gravel(r: Random) -> Numbers:
    return (
        two(r, (0.4, 0.37, 0.33), (0.06, 0.055, 0.05))
        | noise(0, 0.3, 0.02) | noise(1, 0.45, 0.12) | noise(2, 0.45, 0.3) | noise(3, 0.3, 0.7)
        | {"hue_noise": r.uniform(0, 0.25), "warp": 8.0, "warp_scale": 0.06}
    )


def cutting_mat(r: Random) -> Numbers:
    """Held out: a dark mat with a fine grid of light lines."""
    base = r.choice([[0.02, 0.09, 0.06], [0.015, 0.02, 0.03], [0.1, 0.03, 0.04]])
    w = r.uniform(9, 30)
    return (
        two(r, base, np.array(base) * 0.8) | noise(0, 0.2, 0.02) | noise(1, 0.1, 0.6)
        | cells(w, w, line_width=r.uniform(0.4, 1), line_share=r.uniform(0.2, 0.8)) | colour("line", np.array(base) * 4 + 0.15)
    )


def terrazzo(r: Random) -> Numbers:
    """Held out: stone chips in a light ground."""
    base = np.full(3, r.uniform(0.3, 0.7))
    return (
        two(r, base, base * 0.85) | noise(0, 0.2, 0.01) | noise(1, 0.1, 0.5)
        | {"spot_share": r.uniform(0.3, 0.5), "spot_scale": r.uniform(0.08, 0.3), "spot_soft": 0.05} | colour("spot", r.uniform(0.03, 0.4, 3))
    )


TRAINING = (wood, wood, plywood, cloth, cloth, concrete, grass, booth, newspaper, tiles, cardboard, plain, plain, gravel)
HELD_OUT = (cutting_mat, terrazzo)

_DEFAULTS = (
    {"warp_scale": 0.01, "ring_freq": 0.1, "ring_sharp": 3, "weave_freq": 1, "cell_w": 5000, "cell_h": 5000, "line_width": 0.1,
     "rib_freq": 1, "spot_scale": 0.1, "spot_soft": 0.1, "text_row": 8, "text_col": 8}
    | noise(0, 0, 0.01) | noise(1, 0, 0.01) | noise(2, 0, 0.01) | noise(3, 0, 0.01)
)


def random_bench(random: Random, held_out: bool) -> Numbers:
    families = HELD_OUT if held_out else TRAINING
    made = _DEFAULTS | families[int(random.integers(len(families)))](random)
    # scale of the whole texture: near and far benches
    zoom = np.exp(random.normal(0, 0.35))
    for key in made:
        if key.endswith(("_sx", "_sy", "_freq", "_scale")):
            made[key] *= zoom
        if key in ("cell_w", "cell_h", "cell_shift", "text_row", "text_col"):
            made[key] /= zoom
    return made
