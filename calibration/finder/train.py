"""Trains the panel finder on scenes painted as it goes.

    python calibration/finder/train.py --out FOLDER [--steps 100000] [--minutes 9] [--batch 64] [--seed 7] [--resume FILE]
    torchrun --nproc-per-node 2 calibration/finder/train.py --out FOLDER …   (on several GPUs, each with its own batches)

Writes finder.pt (weights averaged over the last steps), log.jsonl, curves.png, samples.png and summary.json.
"""

import argparse
import json
import math
import os
import platform
import time
from pathlib import Path

import numpy as np
import torch
import torch.distributed as dist
import torch.nn.functional as F

from network import CHANNELS, PanelFinder
from pictures import Painter, Scenes
from textures import make_atlas

Tensor = torch.Tensor


def loss_of(logits: Tensor, labels: Tensor) -> Tensor:
    """Cross-entropies: along panel edges thrice as heavy and in seams, where two panels meet, thrice that; glare where
    panels are, objects mostly there and, being rare, four times as heavy as their absence."""
    panel, edge = labels[:, :1], labels[:, 1:2]
    near_edge = F.max_pool2d(edge, 5, 1, 2)
    seam = edge * (F.avg_pool2d(panel, 9, 1, 4) > 0.8)
    ce = F.binary_cross_entropy_with_logits(logits, labels, reduction="none")
    lit, covered = labels[:, 2:3], labels[:, 3:4]
    weight = torch.cat(
        [
            1 + 3 * near_edge,
            1 + 3 * near_edge + 8 * seam,
            (0.02 + 2 * panel) * (1 + lit),
            (0.3 + 1.5 * panel) * (1 + 3 * covered),
            torch.full_like(panel, 0.4),
        ],
        1,
    )
    share = torch.sigmoid(logits[:, :1])
    both = (share * panel).sum((1, 2, 3))
    dice = 1 - (2 * both + 50) / (share.sum((1, 2, 3)) + panel.sum((1, 2, 3)) + 50)
    return (ce * weight).mean() + 0.15 * dice.mean()


@torch.no_grad()
def judged(network: torch.nn.Module, batches: list[tuple[Tensor, Tensor]]) -> dict[str, float]:
    """Intersection over union of every map at one half, over all pixels (glare and objects: on panels)."""
    network.eval()
    both, either = torch.zeros(len(CHANNELS)), torch.zeros(len(CHANNELS))
    for picture, labels in batches:
        found = network(picture.to(memory_format=torch.channels_last)) > 0.5
        true = labels > 0.5
        on_panel = torch.ones_like(true)
        on_panel[:, 2:4] = true[:, :1]
        both += (found & true & on_panel).sum((0, 2, 3)).cpu()
        either += ((found | true) & on_panel).sum((0, 2, 3)).cpu()
    network.train()
    return {name: round(float(b / max(1, e)), 4) for name, b, e in zip(CHANNELS, both, either)}


def average(into: torch.nn.Module, network: torch.nn.Module, keep: float) -> None:
    for a, b in zip(into.state_dict().values(), network.state_dict().values()):
        if a.dtype.is_floating_point:
            a.lerp_(b.to(a.dtype), 1 - keep)
        else:
            a.copy_(b)


def shared(network: torch.nn.Module, progress: float) -> float:
    """Averages the gradients over all GPUs, and the progress with them, so that all stop at the same step."""
    if not dist.is_initialized():
        return progress
    grads = [p.grad for p in network.parameters()]
    flat = torch.cat([*(g.flatten() for g in grads), torch.tensor([progress], device=grads[0].device)])
    dist.all_reduce(flat, dist.ReduceOp.AVG)
    torch._foreach_copy_(grads, [part.view_as(g) for part, g in zip(flat[:-1].split([g.numel() for g in grads]), grads)])
    return float(flat[-1])


def rate(progress: float, peak: float) -> float:
    return peak * min(1, progress / 0.03) * (0.5 + 0.5 * math.cos(math.pi * progress) + 0.002)


def sample_sheet(network: torch.nn.Module, batches: list[tuple[Tensor, Tensor]], path: Path) -> None:
    """Held-out pictures beside what is found in them."""
    from PIL import Image

    rows = []
    with torch.no_grad():
        for picture, _ in batches:
            found = F.interpolate(network.eval()(picture), scale_factor=2, mode="bilinear").float().cpu().numpy()
            for p, f in zip(picture.float().cpu().numpy(), found):
                a = np.moveaxis(p, 0, 2)
                o = 0.35 * a
                o[..., 1] += 0.35 * f[0]
                o += 0.8 * f[1][..., None]
                o[..., 0] += 0.5 * f[2] + 0.3 * f[4]
                o[..., 2] += 0.6 * f[3]
                o[..., 1] += 0.3 * f[4]
                rows.append(np.concatenate([a, o.clip(0, 1)], 1)[::2, ::2])
    rows = rows[:24]
    sheet = np.concatenate([np.concatenate(rows[i : i + 3], 1) for i in range(0, len(rows) // 3 * 3, 3)], 0)
    Image.fromarray((255 * sheet).astype(np.uint8)).save(path)


def curves(log: list[dict], path: Path) -> None:
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, (left, right) = pyplot.subplots(1, 2, figsize=(11, 4))
    losses = [(e["step"], e["loss"]) for e in log if "loss" in e]
    left.semilogy(*zip(*losses), color="black")
    left.set(xlabel="step", ylabel="training loss")
    for name in CHANNELS:
        for kind, style in (("held_out", "-"), ("training_families", ":")):
            points = [(e["step"], e[kind][name]) for e in log if kind in e]
            if points:
                right.plot(*zip(*points), style, label=name if style == "-" else None)
    right.set(xlabel="step", ylabel="intersection over union (dotted: training's families)", ylim=(0, 1))
    right.legend()
    figure.tight_layout()
    figure.savefig(path, dpi=80)


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--out", type=Path, required=True)
    options.add_argument("--steps", type=int, default=100000)
    options.add_argument("--minutes", type=float, default=9)
    options.add_argument("--batch", type=int, default=64)
    options.add_argument("--seed", type=int, default=7)
    options.add_argument("--peak", type=float, default=3e-3)
    options.add_argument("--workers", type=int, default=15)
    options.add_argument("--judge-batches", type=int, default=6)
    options.add_argument("--resume", type=Path)
    options.add_argument("--first", type=int, default=0, help="number of the first training batch")
    o = options.parse_args()
    o.out.mkdir(parents=True, exist_ok=True)
    started = time.time()
    rank, ranks = int(os.environ.get("RANK", 0)), int(os.environ.get("WORLD_SIZE", 1))
    if ranks > 1:
        torch.cuda.set_device(rank)
        dist.init_process_group("nccl")
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(o.seed + rank)
    torch.backends.cudnn.benchmark = True
    torch.backends.cudnn.benchmark_limit = 4
    atlas, where = make_atlas(o.seed)
    painter = Painter(atlas, device)
    generator = torch.Generator(device).manual_seed(o.seed + rank)
    network = PanelFinder().to(device, memory_format=torch.channels_last)
    if o.resume:
        network.load_state_dict(torch.load(o.resume, map_location=device, weights_only=True)["network"])
    smooth = PanelFinder().to(device)
    smooth.load_state_dict(network.state_dict())
    optimiser = torch.optim.AdamW(network.parameters(), lr=o.peak, weight_decay=0.01, fused=device.type == "cuda")
    loader = iter(
        torch.utils.data.DataLoader(
            Scenes(o.seed, o.batch, where, o.first, part=(rank, ranks)), batch_size=None, num_workers=o.workers,
            **({"prefetch_factor": 4, "pin_memory": device.type == "cuda"} if o.workers else {}),
        )
    )
    judges = {}
    for kind, held_out in (("held_out", True), ("training_families", False)) if rank == 0 else ():
        scenes = Scenes(o.seed + 1000, o.batch, where, held_out=held_out)
        judges[kind] = [painter(*scenes.numbers(i), generator) for i in range(o.judge_batches)]
    print(f"ready after {time.time() - started:.0f} s", flush=True)
    log: list[dict] = []
    running, waited, step, progress = 0.0, 0.0, 0, 0.0
    while True:
        if rank == 0 and (step % 1000 == 0 and step > 0 or progress >= 1):
            entry = {"step": step} | {kind: judged(smooth, batches) for kind, batches in judges.items()}
            log.append(entry)
            print(json.dumps(entry), flush=True)
            torch.save({"network": smooth.state_dict()}, o.out / "finder.pt")
        if progress >= 1:
            break
        for group in optimiser.param_groups:
            group["lr"] = rate(progress, o.peak)
        before = time.time()
        numbers = next(loader)
        waited += time.time() - before
        picture, labels = painter(*numbers, generator)
        picture = picture.to(memory_format=torch.channels_last)
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            logits = network.logits(picture)
        loss = loss_of(logits.float(), labels)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        progress = shared(network, max((step + 1) / o.steps, (time.time() - started) / (60 * o.minutes)))
        torch.nn.utils.clip_grad_norm_(network.parameters(), 1.0)
        optimiser.step()
        step += 1
        if step % 4 == 0:
            average(smooth, network, min(0.992, step / (step + 20)))
        running = loss.detach() if step == 1 else 0.98 * running + 0.02 * loss.detach()
        if rank == 0 and (step in (1, 5, 20) or step % 100 == 0):
            entry = {"step": step, "loss": round(float(running), 5), "seconds": round(time.time() - started, 1)}
            log.append(entry)
            print(json.dumps(entry | {"waited": round(waited, 1)}), flush=True)
    if ranks > 1:
        dist.destroy_process_group()
    if rank > 0:
        return
    (o.out / "log.jsonl").write_text("".join(json.dumps(e) + "\n" for e in log))
    summary = {
        "python": platform.python_version(), "torch": torch.__version__, "numpy": np.__version__,
        "device": torch.cuda.get_device_name() if device.type == "cuda" else "cpu",
        "options": {k: str(v) if isinstance(v, Path) else v for k, v in vars(o).items() if k != "out"},
        "gpus": ranks, "steps": step, "pictures": step * o.batch * ranks, "seconds": round(time.time() - started),
        "parameters": sum(p.numel() for p in network.parameters()), "last": log[-1],
    }
    (o.out / "summary.json").write_text(json.dumps(summary, indent=1) + "\n")
    print(json.dumps(summary), flush=True)
    curves(log, o.out / "curves.png")
    sample_sheet(smooth, [(p[:12], l[:12]) for p, l in (judges["held_out"][0], judges["training_families"][0])], o.out / "samples.png")


if __name__ == "__main__":
    main()
