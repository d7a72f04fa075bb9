"""Random scenes as numbers: where everything lies on the bench, from where and by what camera it is seen."""

from dataclasses import dataclass, field

import numpy as np

from benches import random_bench
from fields import CARD, PANEL, PICTURE_AT, THING, THING_AT
from panels import HELD_OUT_SHAPES, SHAPES, Palette, finish, hand, panel_shape, printed, rod, tape
from textures import LEVELS, level_for

WIDTH, HEIGHT = 512, 384
# slots a scene has, in the order they are painted; the first and the last show printed pictures
PRINTED, PLAIN, STICKERS = 9, 34, 2

Random = np.random.Generator
Numbers = dict[str, float]


@dataclass
class Scene:
    """`toward` takes the bench's plane to pixels, `back` pixels to the plane."""

    random: Random
    toward: np.ndarray
    back: np.ndarray
    light: np.ndarray
    taken: list[np.ndarray] = field(default_factory=list)
    panel_corners: list[np.ndarray] = field(default_factory=list)
    printed: list[np.ndarray] = field(default_factory=list)
    below: list[np.ndarray] = field(default_factory=list)
    panels: list[np.ndarray] = field(default_factory=list)
    above: list[np.ndarray] = field(default_factory=list)
    stickers: list[np.ndarray] = field(default_factory=list)

    def px(self, points: np.ndarray) -> np.ndarray:
        h = np.c_[points, np.ones(len(points))] @ self.toward.T
        return h[:, :2] / h[:, 2:]

    def plane(self, px) -> np.ndarray:
        h = self.back @ np.array([px[0], px[1], 1.0])
        return h[:2] / h[2]

    def row(self, thing: Numbers, centre, turn: float) -> np.ndarray:
        """A thing at a place on the plane, as a row of numbers."""
        c, s = np.cos(turn), np.sin(turn)
        local = np.array([[c, s, -c * centre[0] - s * centre[1]], [-s, c, s * centre[0] - c * centre[1]], [0, 0, 1]])
        h = local @ self.back
        row = np.zeros(len(THING_AT), np.float32)
        lit = np.array([[c, s], [-s, c]]) @ self.light
        defaults: Numbers = {
            "g0_ru": 1, "g0_rv": 1, "g1_ru": 1, "g1_rv": 1, "shadow_soft": 1, "chamfer": -1e3, "mottle_scale": 0.1,
            "reflection_scale": 0.01, "lit_u": lit[0], "lit_v": lit[1], "opacity": 1, "seed": self.random.uniform(0, 50), "used": 1,
        }
        height = thing.pop("height", 0.0)
        if height:
            defaults |= {"shadow_u": -lit[0] * height, "shadow_v": -lit[1] * height}
        made = defaults | thing | {f"h{i}": h.flat[i] for i in range(9)}
        for key, value in made.items():
            row[THING_AT[key]] = value
        return row

    def corners(self, hw: float, hh: float, centre, turn: float) -> np.ndarray:
        c, s = np.cos(turn), np.sin(turn)
        box = np.array([[-hw, -hh], [hw, -hh], [hw, hh], [-hw, hh]])
        return box @ np.array([[c, s], [-s, c]]) + centre

    def share_inside(self, corners: np.ndarray) -> float:
        """About what part of a quadrilateral of the plane lies in the frame."""
        t = (np.arange(5) + 0.5) / 5
        u, v = np.meshgrid(t, t)
        u, v = u.ravel()[:, None], v.ravel()[:, None]
        points = (1 - v) * ((1 - u) * corners[0] + u * corners[1]) + v * ((1 - u) * corners[3] + u * corners[2])
        p = self.px(points)
        return float(np.mean((p[:, 0] > 3) & (p[:, 0] < WIDTH - 3) & (p[:, 1] > 3) & (p[:, 1] < HEIGHT - 3)))

    def is_free(self, corners: np.ndarray, gap: float) -> bool:
        return all(apart(corners, other) >= gap for other in self.taken)


def apart(a: np.ndarray, b: np.ndarray) -> float:
    """Separation of two convex quadrilaterals along their sides' normals; negative when they overlap."""
    best = -np.inf
    for quad in (a, b):
        for i in range(4):
            d = quad[(i + 1) % 4] - quad[i]
            n = np.array([d[1], -d[0]]) / np.hypot(*d)
            pa, pb = a @ n, b @ n
            best = max(best, pa.min() - pb.max(), pb.min() - pa.max())
    return best


def view(random: Random) -> tuple[np.ndarray, np.ndarray]:
    tilt = abs(random.normal(0, 14)) if random.random() < 0.8 else random.uniform(0, 42)
    tilt = np.radians(min(tilt, 45))
    lean = random.uniform(0, 2 * np.pi)
    quarter = np.pi / 2 * random.choice([0, 0, 0, 1, 2, 3])
    turn = quarter + (random.normal(0, 0.1) if random.random() < 0.75 else random.uniform(0, np.pi))
    f = WIDTH * random.uniform(0.7, 1.6)
    rotate = lambda a: np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])
    ct, st = np.cos(tilt), np.sin(tilt)
    project = np.array([[ct * f, 0, 0], [0, f, 0], [st, 0, f]])
    centre = np.array([[1, 0, WIDTH / 2], [0, 1, HEIGHT / 2], [0, 0, 1]])
    toward = centre @ rotate(turn) @ rotate(lean) @ project @ rotate(-lean)
    return toward, np.linalg.inv(toward)


def random_scene(seed: tuple[int, ...], where: dict[str, list[int]], held_out: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Numbers of one scene: a picture row and PRINTED + PLAIN + STICKERS thing rows. The same seed, the same scene."""
    random = np.random.default_rng(seed)
    toward, back = view(random)
    angle = random.uniform(0, 2 * np.pi)
    scene = Scene(random, toward, back, np.array([np.cos(angle), np.sin(angle)]))
    bench = random_bench(random, held_out)
    ground = [(bench[f"a_{c}"] + bench[f"b_{c}"]) / 2 for c in ("red", "green", "blue")]
    long = float(np.exp(random.uniform(np.log(30), np.log(210))))
    lay_card(scene, where, long)
    lay_panels(scene, long, Palette(random, ground), held_out)
    lay_distractors(scene, where)
    lay_objects(scene, where, long)
    picture = np.zeros(len(PICTURE_AT), np.float32)
    for key, value in (bench | camera(random, held_out) | {f"g{i}": back.flat[i] for i in range(9)} | {"seed": random.uniform(0, 50)}).items():
        picture[PICTURE_AT[key]] = value
    return picture, stacked(scene)


def stacked(scene: Scene) -> np.ndarray:
    rows = np.zeros((PRINTED + PLAIN + STICKERS, len(THING_AT)), np.float32)
    # an unused slot needs a map that divides by nothing
    rows[:, [THING_AT[f"h{i}"] for i in (0, 4, 8)]] = 1
    for name in ("hw", "hh", "g0_ru", "g0_rv", "g1_ru", "g1_rv", "shadow_soft"):
        rows[:, THING_AT[name]] = 1
    for start, room, things in (
        (0, PRINTED, scene.printed),
        (PRINTED, PLAIN, scene.below + scene.panels + scene.above),
        (PRINTED + PLAIN, STICKERS, scene.stickers),
    ):
        for i, row in enumerate(things[:room]):
            rows[start + i] = row
    return rows


def lay_card(scene: Scene, where: dict[str, list[int]], long: float) -> None:
    """The card and up to two strips, or another chart; also none."""
    r = scene.random
    if r.random() < 0.22:
        return
    own = r.random() < 0.85
    hw = min(long * r.uniform(0.5, 1.4), 125)
    hh = hw * (105 / 148 if own else r.uniform(0.5, 0.9))
    for _ in range(30):
        centre, turn = scene.plane((r.uniform(60, WIDTH - 60), r.uniform(50, HEIGHT - 50))), quarter_turn(r, 0.05)
        corners = scene.corners(hw, hh, centre, turn)
        if scene.share_inside(corners) > (0.99 if r.random() < 0.9 else 0.6):
            break
    else:
        return
    scene.taken.append(corners)
    texture = (0 if own else int(r.choice(where["chart"]))) * LEVELS + level_for(2 * hw)
    scene.printed.append(scene.row(printed(texture, hw, hh, r, CARD), centre, turn))
    for strip in where["strip"] if own and r.random() < 0.4 else []:
        w = hw * 120 / 148
        corners = placed(scene, w, w * 16 / 120, 12, 0.99)
        if corners is not None:
            texture = strip * LEVELS + level_for(2 * w)
            scene.printed.append(scene.row(printed(texture, w, w * 16 / 120, r, CARD), *corners))


def quarter_turn(r: Random, spread: float) -> float:
    return float(np.pi / 2 * r.integers(4) + r.normal(0, spread)) if r.random() < 0.9 else float(r.uniform(0, 2 * np.pi))


def placed(scene: Scene, hw: float, hh: float, tries: int, inside: float, gap: float = 2.0) -> tuple[np.ndarray, float] | None:
    r = scene.random
    for _ in range(tries):
        centre, turn = scene.plane((r.uniform(0, WIDTH), r.uniform(0, HEIGHT))), quarter_turn(r, 0.3)
        corners = scene.corners(hw, hh, centre, turn)
        if scene.share_inside(corners) >= inside and scene.is_free(corners, gap):
            scene.taken.append(corners)
            return centre, turn
    return None


def lay_panels(scene: Scene, long: float, palette: Palette, held_out: bool) -> None:
    r = scene.random
    aspect = r.uniform(1, 1.5) if r.random() < 0.7 else r.uniform(1, 3)
    hw, hh = long / 2, long / 2 / aspect
    if r.random() < 0.5:
        hw, hh = hh, hw
    most = int(np.clip(0.55 * WIDTH * HEIGHT / (4 * hw * hh), 1, 15))
    count = int(r.integers(1, most + 1)) if r.random() < 0.93 else 0
    shapes = HELD_OUT_SHAPES if held_out else SHAPES
    usual = shapes[int(r.integers(len(shapes)))]
    mode = r.random()
    spots = rows_of(scene, hw, hh, mode) if mode < 0.78 else scattered(scene, hw, hh, mode)
    size = r.uniform(0, 0.15)
    depth, soft, height = r.uniform(0.05, 0.65), r.uniform(0.4, 0.06 * long + 0.8), r.uniform(0, 0.04 * long + 0.5)
    bevel, lit = r.uniform(0.2, 3) * float(r.random() < 0.7), r.uniform(0.05, 0.5)
    for centre, turn, fixed in spots:
        if len(scene.panels) >= count:
            break
        scale = 1.0 if fixed else float(np.exp(r.normal(0, size)))
        corners = scene.corners(hw * scale, hh * scale, centre, turn)
        inside = scene.share_inside(corners)
        if inside < 0.999 and not (inside > 0.35 and r.random() < 0.12):
            continue
        overlap = mode > 0.93
        if not scene.is_free(corners, -0.25 * min(hw, hh) if overlap else (-0.01 if fixed else 1)):
            continue
        scene.taken.append(corners)
        scene.panel_corners.append(corners)
        shape = usual if r.random() < 0.85 else shapes[int(r.integers(len(shapes)))]
        made = panel_shape(r, shape, hw * scale, hh * scale) | finish(r, palette, hw, hh)
        made |= {"kind": PANEL, "id": len(scene.panels) + 1, "shadow_soft": soft, "shadow_depth": depth, "height": height,
                 "bevel": bevel * float(r.random() < 0.9), "bevel_lit": lit}
        scene.panels.append(scene.row(made, centre, turn))
        if shape == "disc" and r.random() < 0.3:
            knob = min(hw, hh) * r.uniform(0.12, 0.3)
            scene.above.append(scene.row(rod(knob, knob, r.uniform(0.01, 0.5, 3), r) | {"dome": 0.3}, centre, turn))


def rows_of(scene: Scene, hw: float, hh: float, mode: float):
    """Places in rows, nearest to a random middle first; now and then edge to edge."""
    r = scene.random
    touching = mode < 0.38
    gap = r.uniform(0, 0.8 if mode < 0.19 else 2.2) if touching else r.uniform(2, 0.8 * min(hw, hh) + 3)
    jitter, turn_sd = (0, 0) if touching else (r.uniform(0, 0.12) * gap, r.choice([0.01, 0.02, 0.06]))
    origin, turn = scene.plane((r.uniform(0, WIDTH), r.uniform(0, HEIGHT))), r.choice([0, 0, 0, r.uniform(0, np.pi)])
    c, s = np.cos(turn), np.sin(turn)
    reach = int(np.clip(500 / min(hw, hh), 3, 16))
    spots = [(i, j) for i in range(-reach, reach + 1) for j in range(-reach, reach + 1)]
    spots.sort(key=lambda ij: (ij[0] * hw) ** 2 + (ij[1] * hh) ** 2 + r.uniform(0, hw * hh))
    for i, j in spots:
        at = np.array([i * (2 * hw + gap), j * (2 * hh + gap)]) + r.normal(0, 1, 2) * jitter
        yield origin + np.array([c * at[0] - s * at[1], s * at[0] + c * at[1]]), turn + r.normal(0, 1) * turn_sd, touching


def scattered(scene: Scene, hw: float, hh: float, mode: float):
    r = scene.random
    for _ in range(60):
        yield scene.plane((r.uniform(20, WIDTH - 20), r.uniform(20, HEIGHT - 20))), quarter_turn(r, 0.25), False


def lay_distractors(scene: Scene, where: dict[str, list[int]]) -> None:
    """Flat things of the bench that are no panels: pages, telephones, rulers, charts, sticks."""
    r = scene.random
    for kind, chance, shortest, longest, aspect in (
        ("page", 0.4, 50, 170, (0.6, 0.8)), ("page", 0.2, 20, 90, (0.4, 1.4)), ("screen", 0.16, 25, 75, (1.8, 2.2)),
        ("ruler", 0.15, 60, 200, (0.08, 0.14)), ("chart", 0.1, 40, 120, (0.5, 0.9)), ("label", 0.12, 12, 40, (0.4, 0.7)),
    ):
        if r.random() > chance or len(scene.printed) >= PRINTED:
            continue
        hw = r.uniform(shortest, longest)
        hh = hw * r.uniform(*aspect)
        at = placed(scene, hw, hh, 15, 0.3)
        if at is not None:
            texture = int(r.choice(where[kind])) * LEVELS + level_for(2 * hw)
            kind_of = CARD if kind == "chart" else THING
            scene.printed.append(scene.row(printed(texture, hw, hh, r, kind_of), *at))
    for _ in range(int(r.integers(1, 4)) if r.random() < 0.2 else 0):
        hw, hh = r.uniform(30, 150), r.uniform(1.5, 9)
        at = placed(scene, hw, hh, 10, 0.3)
        if at is not None:
            thing = rod(hw, hh, r.uniform(0.02, 0.6, 3), r, THING) | {"shadow_soft": 2, "shadow_depth": 0.4, "height": 3.0}
            if r.random() < 0.4:
                # a cable
                thing |= {"hh": r.uniform(0.8, 2.5), "bend_v": r.normal(0, 0.4)}
            scene.below.append(scene.row(thing, *at))


def lay_objects(scene: Scene, where: dict[str, list[int]], long: float) -> None:
    """What lies on panels or reaches into the photo: hands, tape, clips, labels."""
    r = scene.random
    for _ in range(int(r.choice([0, 1, 2], p=[0.62, 0.3, 0.08]))):
        toward = r.uniform(0, 2 * np.pi)
        if scene.panels and r.random() < 0.6:
            corners = scene.panel_corners[int(r.integers(len(scene.panels)))]
            at = corners[int(r.integers(4))] * 0.8 + corners.mean(0) * 0.2
            toward = float(np.arctan2(*(at - corners.mean(0))[::-1])) + r.normal(0, 0.4)
        else:
            at = scene.plane((r.uniform(0, WIDTH), r.uniform(0, HEIGHT)))
        size = long * r.uniform(0.12, 0.35) + 4
        scene.above += [scene.row(thing | {"shadow_soft": size * 0.3, "shadow_depth": 0.3, "height": size * 0.3}, centre, turn)
                        for thing, centre, turn in hand(r, at, toward, size)]
    taped, stuck, clipped = r.random() < 0.4, r.random() < 0.2, r.random() < 0.12
    for corners in scene.panel_corners:
        side = int(r.integers(4))
        a, b = corners[side], corners[(side + 1) % 4]
        at = a + (b - a) * r.uniform(0.1, 0.9)
        along = float(np.arctan2(*(b - a)[::-1]))
        if taped and r.random() < 0.6:
            thing = tape(r, long * r.uniform(0.08, 0.3), long * r.uniform(0.03, 0.11) + 1)
            scene.above.append(scene.row(thing, at, along + np.pi / 2 + r.normal(0, 0.4)))
        if clipped and r.random() < 0.6:
            thing = rod(long * 0.08 + 1, long * r.uniform(0.03, 0.06) + 1, r.uniform(0.01, 0.5, 3), r)
            scene.above.append(scene.row(thing | {"shadow_soft": 1.5, "shadow_depth": 0.4, "height": 2.0}, at, along + np.pi / 2))
        if stuck and len(scene.stickers) < STICKERS and r.random() < 0.6:
            hw = long * r.uniform(0.08, 0.2) + 1
            texture = int(r.choice(where["label"])) * LEVELS + level_for(2 * hw)
            centre = at * 0.6 + corners.mean(0) * 0.4
            scene.stickers.append(scene.row(printed(texture, hw, hw * 0.5, r, 2), centre, along + r.normal(0, 0.1)))


def camera(r: Random, held_out: bool) -> Numbers:
    """Light over the frame and what the camera does to it."""
    made: Numbers = {
        "light_u": r.normal(0, 0.35), "light_v": r.normal(0, 0.35), "vignette": r.uniform(0, 0.9),
        "shadow_blue": r.uniform(-0.1, 0.3), "blind_freq": r.uniform(0.02, 0.15), "blind_turn": r.uniform(0, np.pi),
        "blind": r.uniform(0.1, 0.6) * float(r.random() < 0.04),
        "blur": abs(r.normal(0.2, 0.5)), "motion": r.uniform(0.5, 2.5) * float(r.random() < 0.08), "motion_turn": r.uniform(0, np.pi),
        "exposure": float(np.exp(r.normal(-0.15, 0.32))), "saturation": r.uniform(0.85, 1.35),
        "noise": abs(r.normal(0, 0.25)), "chroma_noise": r.uniform(0, 0.04) * float(r.random() < 0.3),
        "jpeg": r.uniform(0.2, 3) if r.random() < 0.4 else 0, "flare": r.uniform(0, 0.03) * float(r.random() < 0.4),
    }
    cast = r.normal(0, 0.1 if r.random() < 0.7 else 0.25)
    made |= {"gain_red": float(np.exp(cast)), "gain_blue": float(np.exp(-cast + r.normal(0, 0.06)))}
    if held_out:
        made |= {"tone": 2, "tone_a": r.uniform(1.05, 1.5), "tone_b": r.uniform(0, 1), "tone_c": 0.03}
    elif r.random() < 0.5:
        made |= {"tone": 0, "tone_a": r.uniform(1.0, 1.6), "tone_b": r.uniform(0.25, 1.2), "tone_c": r.uniform(0.01, 0.06)}
    else:
        made |= {"tone": 1, "tone_a": 1, "tone_b": r.uniform(0, 0.8), "tone_c": r.uniform(-0.03, 0.1)}
    turn = r.uniform(0, 2 * np.pi)
    made |= {"s0_x": r.uniform(0, WIDTH), "s0_y": r.uniform(0, HEIGHT), "s0_nx": np.cos(turn), "s0_ny": np.sin(turn),
             "s0_soft": float(np.exp(r.uniform(np.log(0.7), np.log(60)))), "s0_depth": r.uniform(0.1, 0.7) * float(r.random() < 0.18)}
    for name, chance in (("s1", 0.35), ("s2", 0.2)):
        made |= {f"{name}_x": r.uniform(0, WIDTH), f"{name}_y": r.uniform(0, HEIGHT), f"{name}_rx": r.uniform(20, 200),
                 f"{name}_ry": r.uniform(20, 200), f"{name}_turn": r.uniform(0, np.pi), f"{name}_soft": float(np.exp(r.uniform(np.log(0.02), 0))),
                 f"{name}_depth": r.uniform(0.1, 0.7) * float(r.random() < chance)}
    return made
