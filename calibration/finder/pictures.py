"""Scenes to training pictures and label maps, a batch at a time, wherever the tensors lie."""

import numpy as np
import torch
import torch.nn.functional as F

import paint
from camera import blurred, compressed, develop
from scenes import HEIGHT, PLAIN, PRINTED, WIDTH, random_scene

Tensor = torch.Tensor


class Painter:
    """Keeps the printed pictures and, on a GPU, the compiled kernels."""

    def __init__(self, atlas: np.ndarray, device: torch.device):
        self.device = device
        self.atlas = torch.from_numpy(atlas).to(device)
        self.x, self.y = paint.pixel_grid(HEIGHT, WIDTH, device)
        fuse = torch.compile if device.type == "cuda" else (lambda f: f)
        self.bench, self.thing, self.lighting = fuse(paint.bench), fuse(paint.thing), fuse(paint.lighting)

    @torch.no_grad()
    def __call__(self, pictures: Tensor, things: Tensor, generator: torch.Generator) -> tuple[Tensor, Tensor]:
        """Pictures B x 3 x H x W encoded 0-1, and labels B x 5 x H/2 x W/2 in the network's order, from scene
        numbers on the CPU."""
        used = (things[:, :, -1] > 0).any(0).tolist()
        pictures, things = pictures.to(self.device, non_blocking=True), things.to(self.device, non_blocking=True)
        canvas = self.bench(pictures, self.x, self.y)
        zero = torch.zeros_like(canvas[:, 0])
        maps = (zero, zero.clone(), zero.clone(), zero.clone())
        for k in range(things.shape[1]):
            if not used[k]:
                continue
            textured = not PRINTED <= k < PRINTED + PLAIN
            canvas, *maps = self.thing(canvas, *maps, things[:, k].contiguous(), self.atlas, self.x, self.y, textured)
        ids, glare, covered, card = maps
        canvas = canvas * self.lighting(pictures, self.x, self.y, WIDTH, HEIGHT)
        noise = torch.randn(canvas.shape, generator=generator, device=self.device)
        b, _, h, w = canvas.shape
        coarse = torch.randn((b, 3, h // 3, w // 3), generator=generator, device=self.device)
        picture = compressed(develop(blurred(canvas, pictures), pictures, noise, coarse), pictures)
        picture = torch.round(picture * 255) / 255
        return picture, label_maps(ids, glare, covered, card)


def label_maps(ids: Tensor, glare: Tensor, covered: Tensor, card: Tensor) -> Tensor:
    """Label maps at half size. An edge is where two different ids meet within a pixel; the frame's rim is none."""
    one = ids[:, None]
    around = F.max_pool2d(F.pad(one, (1, 1, 1, 1), mode="replicate"), 3, 1)
    least = -F.max_pool2d(F.pad(-one, (1, 1, 1, 1), mode="replicate"), 3, 1)
    edge = F.max_pool2d((around != least).float(), 2)
    means = F.avg_pool2d(torch.stack([(ids > 0).float(), glare, covered, card], 1), 2)
    return torch.cat([means[:, :1], edge, means[:, 1:]], 1)


class Scenes(torch.utils.data.IterableDataset):
    """Endless batches of scene numbers: batch i of a seed is always the same, whoever draws it. `part`: which
    of how many processes this is; each draws batches of its own."""

    def __init__(self, seed: int, batch: int, where: dict[str, list[int]], first: int = 0, held_out: bool = False,
                 part: tuple[int, int] = (0, 1)):
        self.seed, self.batch, self.where, self.first, self.held_out = seed, batch, where, first, held_out
        self.part = part

    def numbers(self, index: int) -> tuple[Tensor, Tensor]:
        made = [random_scene((self.seed, index, i), self.where, self.held_out) for i in range(self.batch)]
        return torch.from_numpy(np.stack([p for p, _ in made])), torch.from_numpy(np.stack([t for _, t in made]))

    def __iter__(self):
        worker = torch.utils.data.get_worker_info()
        workers, own = (worker.num_workers, worker.id) if worker else (1, 0)
        rank, ranks = self.part
        step = workers * ranks
        index = self.first + rank * workers + own
        while True:
            yield self.numbers(index)
            index += step
