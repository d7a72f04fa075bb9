"""The panel finder's network: a small U-Net of depthwise-separable blocks.

Input: B x 3 x H x W, the photo's encoded values 0-1 (sRGB or whatever the file holds), H and W multiples of 32.
Output: B x 5 x H/2 x W/2, probabilities 0-1 in the order of CHANNELS.
"""

import torch
from torch import nn

CHANNELS = ("panel", "edge", "glare", "object", "card")

# channels at 1/2, 1/4, 1/8, 1/16, 1/32 of the input, and how many blocks there
WIDTHS = (16, 40, 72, 136, 200)
DEPTHS = (1, 2, 3, 4, 3)
DECODER_DEPTHS = (1, 2, 2, 2)


def normed(convolution: nn.Conv2d) -> nn.Sequential:
    return nn.Sequential(convolution, nn.BatchNorm2d(convolution.out_channels))


class Separable(nn.Module):
    """Depthwise k x k, then pointwise; adds its input where shapes allow."""

    def __init__(self, inputs: int, outputs: int, kernel: int = 3, stride: int = 1):
        super().__init__()
        self.depthwise = normed(
            nn.Conv2d(inputs, inputs, kernel, stride, kernel // 2, groups=inputs, bias=False)
        )
        self.pointwise = normed(nn.Conv2d(inputs, outputs, 1, bias=False))
        self.adds = stride == 1 and inputs == outputs

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        y = self.pointwise(torch.relu(self.depthwise(x)))
        return torch.relu(x + y if self.adds else y)


class Join(nn.Module):
    """Brings a coarse map up to a finer one's size and adds both, each through a pointwise convolution."""

    def __init__(self, coarse: int, fine: int):
        super().__init__()
        self.coarse = normed(nn.Conv2d(coarse, fine, 1, bias=False))
        self.fine = normed(nn.Conv2d(fine, fine, 1, bias=False))
        self.up = nn.Upsample(scale_factor=2, mode="bilinear", align_corners=False)

    def forward(self, coarse: torch.Tensor, fine: torch.Tensor) -> torch.Tensor:
        return torch.relu(self.up(self.coarse(coarse)) + self.fine(fine))


class Surround(nn.Module):
    """Tells every place what the whole picture looks like: a mean over it, through two layers."""

    def __init__(self, channels: int):
        super().__init__()
        self.inner = nn.Conv2d(channels, channels // 4, 1)
        self.outer = nn.Conv2d(channels // 4, channels, 1)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        mean = x.mean(dim=(2, 3), keepdim=True)
        return x + self.outer(torch.relu(self.inner(mean)))


class PanelFinder(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        w = WIDTHS
        self.stem = normed(nn.Conv2d(3, w[0], 3, 2, 1, bias=False))
        levels = []
        for i, (width, depth) in enumerate(zip(w, DEPTHS)):
            kernel = 5 if i >= 2 else 3
            blocks = [] if i == 0 else [Separable(w[i - 1], width, 5 if i >= 2 else 3, stride=2)]
            blocks += [Separable(width, width, kernel) for _ in range(depth)]
            levels.append(nn.Sequential(*blocks))
        self.levels = nn.ModuleList(levels)
        self.surround = Surround(w[-1])
        self.joins = nn.ModuleList(Join(w[i + 1], w[i]) for i in range(4))
        self.decoders = nn.ModuleList(
            nn.Sequential(*[Separable(w[i], w[i], 3 if i < 2 else 5) for _ in range(DECODER_DEPTHS[i])])
            for i in range(4)
        )
        self.head = nn.Conv2d(w[0], len(CHANNELS), 1)

    def logits(self, picture: torch.Tensor) -> torch.Tensor:
        x = torch.relu(self.stem((picture - 0.45) * 4.0))
        kept = []
        for level in self.levels:
            x = level(x)
            kept.append(x)
        x = self.surround(x)
        for i in (3, 2, 1, 0):
            x = self.decoders[i](self.joins[i](x, kept[i]))
        return self.head(x)

    def forward(self, picture: torch.Tensor) -> torch.Tensor:
        return torch.sigmoid(self.logits(picture))
