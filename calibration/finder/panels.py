"""What lies on the bench: painted panels and their finishes, hands and tape and tools, printed things."""

import numpy as np

from fields import OBJECT

Random = np.random.Generator
Numbers = dict[str, float]


def rgb(name: str, values) -> Numbers:
    return {"red" + name: float(values[0]), "green" + name: float(values[1]), "blue" + name: float(values[2])}


class Palette:
    """The colours of one job: tints over grounds in several coats, now and then a solid colour or a primer."""

    def __init__(self, random: Random, bench_rgb):
        self.random, self.bench = random, np.asarray(bench_rgb)
        self.tints = [np.exp(random.uniform(np.log(0.02), np.log(1.6), 3)) for _ in range(3)]
        silver, gold = np.full(3, random.uniform(0.3, 0.75)), np.array([0.6, 0.45, 0.2]) * random.uniform(0.6, 1.2)
        self.grounds = [silver, gold, np.full(3, random.uniform(0.05, 0.2))]
        self.one_ground = random.random() < 0.6
        self.close = random.random() < 0.4
        self.last: tuple[np.ndarray, bool] | None = None

    def next(self) -> tuple[np.ndarray, bool]:
        """A colour, and whether flakes lie under it; now and then the one before again."""
        if self.last is None or self.random.random() > 0.2:
            self.last = self.fresh()
        return self.last

    def fresh(self) -> tuple[np.ndarray, bool]:
        r = self.random
        if self.close and r.random() < 0.7:
            return np.clip(self.bench * np.exp(r.normal(0, 0.12, 3)) * np.exp(r.normal(0, 0.12)), 0.004, 0.85), False
        kind = r.random()
        ground = self.grounds[0] if self.one_ground else self.grounds[int(r.integers(3))]
        if kind < 0.62:
            tint = self.tints[int(r.integers(3))] if r.random() < 0.8 else np.mean(self.tints[:2], axis=0)
            return np.clip(ground * np.exp(-tint * r.uniform(0.5, 5)) + 0.012, 0.008, 0.9), True
        if kind < 0.72:
            return ground, True
        if kind < 0.84:
            return np.full(3, np.exp(r.uniform(np.log(0.02), np.log(0.85)))) * np.exp(r.normal(0, 0.04, 3)), False
        return np.exp(r.uniform(np.log(0.01), np.log(0.85), 3)), False


def finish(random: Random, palette: Palette, hw: float, hh: float) -> Numbers:
    base, flakes = palette.next()
    glossy = random.random() < 0.75
    other = base.copy()
    grad = np.zeros(2)
    if random.random() < 0.4:
        other = base * np.exp(random.normal(0, 0.25))
        grad = random.normal(0, 0.5, 2)
    elif random.random() < 0.05:
        # a panel in two fields: a coat more on one half, or the bare ground left showing
        other, _ = palette.next()
        grad = np.array([random.uniform(6, 60), 0]) if random.random() < 0.5 else np.array([0, random.uniform(6, 60)])
    made = rgb("", base) | rgb("2", np.clip(other, 0.005, 0.9)) | {
        "grad_u": grad[0], "grad_v": grad[1],
        "sparkle": random.uniform(0.01, 0.12) if flakes else random.uniform(0, 0.01),
        "mottle": random.uniform(0, 0.05), "mottle_scale": random.uniform(0.02, 0.2),
        "streak": random.uniform(0, 0.08) * float(random.random() < 0.1),
        "dome": random.uniform(0.1, 0.7) * float(random.random() < 0.12), "opacity": 1,
        "reflection_scale": random.uniform(0.008, 0.05),
        "reflection": float(np.exp(random.uniform(np.log(0.02), np.log(0.35)))) * float(glossy and random.random() < 0.18),
    }
    for spot in ("g0", "g1"):
        if glossy and random.random() < (0.3 if spot == "g0" else 0.12):
            made |= lamp(random, spot, hw, hh)
    return made


def lamp(random: Random, spot: str, hw: float, hh: float) -> Numbers:
    """A lamp, tube or window mirrored in a panel."""
    tube = random.random() < 0.35
    wide = random.uniform(0.08, 0.6) * hw
    return {
        f"{spot}_u": random.uniform(-1, 1) * hw, f"{spot}_v": random.uniform(-1, 1) * hh,
        f"{spot}_ru": 3 * wide if tube else wide, f"{spot}_rv": 0.35 * wide if tube else wide * random.uniform(0.5, 1.5),
        f"{spot}_turn": random.uniform(0, np.pi), f"{spot}_strength": float(np.exp(random.uniform(np.log(0.06), np.log(2)))),
        f"{spot}_square": float(random.random() < 0.35),
    }


def panel_shape(random: Random, kind: str, hw: float, hh: float) -> Numbers:
    small = min(hw, hh)
    made: Numbers = {"hw": hw, "hh": hh, "round": random.uniform(0, 0.08) * small}
    if kind == "rounded":
        made["round"] = random.uniform(0.1, 0.5) * small
    elif kind == "disc":
        made |= {"hw": small, "hh": small, "round": small}
    elif kind == "curved":
        made |= {"bend_u": random.normal(0, 0.06), "bend_v": random.normal(0, 0.06), "taper": random.uniform(-0.2, 0.2)}
    elif kind == "chamfered":
        made |= {"chamfer": random.uniform(0.25, 0.7) * small}
    elif kind == "stadium":
        made |= {"round": small}
    if kind in ("rectangle", "rounded") and random.random() < 0.18:
        made |= {"hole_u": random.choice([0, 0, -0.8, 0.8]) * hw, "hole_v": -hh + random.uniform(0.12, 0.2) * hh + 1,
                 "hole_r": max(0.8, random.uniform(0.04, 0.09) * small), "hole_long": random.choice([0, 0, 0.2]) * hw}
    return made


SHAPES = ("rectangle",) * 11 + ("rounded",) * 4 + ("disc",) * 2 + ("curved",) * 3
HELD_OUT_SHAPES = ("chamfered", "stadium", "rectangle")

SKIN = ([0.52, 0.33, 0.24], [0.42, 0.25, 0.17], [0.3, 0.16, 0.1], [0.17, 0.085, 0.05], [0.08, 0.045, 0.03])
GLOVES = ([0.02, 0.12, 0.35], [0.02, 0.02, 0.022], [0.6, 0.6, 0.58], [0.35, 0.12, 0.02])


def rod(hw: float, hh: float, colour, random: Random, kind: int = OBJECT) -> Numbers:
    return rgb("", colour) | rgb("2", np.asarray(colour) * 0.9) | {
        "hw": hw, "hh": hh, "round": min(hw, hh), "dome": random.uniform(0.3, 0.75), "opacity": 1, "mottle": 0.06,
        "mottle_scale": 0.15, "lit_v": random.choice([-1, 1]), "kind": kind,
    }


def hand(random: Random, at, toward: float, size: float) -> list[tuple[Numbers, np.ndarray, float]]:
    """Fingers, thumb and palm reaching to a place from one side: (thing, centre, turn)."""
    skin = np.array((GLOVES if random.random() < 0.25 else SKIN)[int(random.integers(4))]) * np.exp(random.normal(0, 0.15))
    if random.random() < 0.4:
        # sleeves and gloves come in any colour
        skin = np.exp(random.uniform(np.log(0.03), np.log(0.7), 3))
    made = []
    away = np.array([np.cos(toward), np.sin(toward)])
    side = np.array([-away[1], away[0]])
    palm = rod(size * 1.5, size * 1.25, skin, random)
    made.append((palm | {"round": size * 1.1, "dome": 0.3}, at + away * size * 3.6, toward))
    made.append((rod(size * 4, size * 0.95, skin * random.uniform(0.3, 1.1), random) | {"round": size * 0.4}, at + away * size * 8.5, toward))
    count = int(random.integers(1, 5))
    for i in range(count):
        off = (i - (count - 1) / 2) * size * 0.72
        length = size * (random.uniform(1.2, 1.9) if random.random() < 0.6 else random.uniform(1.9, 4))
        turn = toward + random.normal(0, 0.12)
        made.append((rod(length, size * 0.34, skin * np.exp(random.normal(0, 0.05)), random), at + side * off + away * length, turn))
    thumb = toward + random.choice([-1, 1]) * random.uniform(0.5, 0.9)
    made.append((rod(size * 1.2, size * 0.4, skin, random), at + away * size * 2.2 + side * size * random.choice([-1.3, 1.3]), thumb))
    return made


TAPES = ([0.75, 0.65, 0.3], [0.7, 0.7, 0.68], [0.05, 0.25, 0.5], [0.3, 0.55, 0.1], [0.03, 0.03, 0.03], [0.6, 0.4, 0.2])


def tape(random: Random, hw: float, hh: float) -> Numbers:
    colour = np.array(TAPES[int(random.integers(6))]) * np.exp(random.normal(0, 0.15))
    if random.random() < 0.25:
        colour = np.exp(random.uniform(np.log(0.03), np.log(0.8), 3))
    return rgb("", colour) | rgb("2", colour * random.uniform(0.85, 1.1)) | {
        "hw": hw, "hh": hh, "round": 0.3, "mottle": random.uniform(0.02, 0.1), "mottle_scale": 0.2, "grad_u": 0.3,
        "opacity": random.uniform(0.75, 1), "kind": OBJECT, "shadow_soft": 0.7, "shadow_depth": random.uniform(0, 0.25),
    }


def printed(index: int, hw: float, hh: float, random: Random, kind: int) -> Numbers:
    tint = np.exp(random.normal(0, 0.04, 3))
    return rgb("", tint) | rgb("2", tint) | {
        "hw": hw, "hh": hh, "round": random.uniform(0, 0.5), "texture": index, "opacity": 1, "kind": kind,
        "shadow_soft": random.uniform(0.5, 2), "shadow_depth": random.uniform(0, 0.35),
        "mottle": random.uniform(0, 0.08), "mottle_scale": 0.015,
    }


