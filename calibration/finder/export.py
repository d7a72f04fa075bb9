"""Writes a trained network as ONNX: batch norms folded, weights stored in half precision and widened on loading.

    python calibration/finder/export.py CHECKPOINT.pt calibration/finder/panel-finder.onnx
"""

import hashlib
import sys
from pathlib import Path

import numpy as np
import onnx
import torch
from onnx import TensorProto, helper, numpy_helper
from torch.nn.utils.fusion import fuse_conv_bn_eval

from network import PanelFinder

OPSET = 17


def folded(module: torch.nn.Module) -> torch.nn.Module:
    """The same network with every batch norm folded into the convolution before it."""
    for name, child in module.named_children():
        if isinstance(child, torch.nn.Sequential) and len(child) == 2 and isinstance(child[1], torch.nn.BatchNorm2d):
            setattr(module, name, fuse_conv_bn_eval(child[0], child[1]))
        else:
            folded(child)
    return module


def halved(model: onnx.ModelProto) -> onnx.ModelProto:
    """Weights as float16 with a cast behind each: half the file, the same float32 arithmetic."""
    graph = model.graph
    kept, casts = [], []
    for tensor in graph.initializer:
        values = numpy_helper.to_array(tensor)
        if values.dtype != np.float32 or values.size < 64:
            kept.append(tensor)
            continue
        half = numpy_helper.from_array(values.astype(np.float16), tensor.name + "_half")
        kept.append(half)
        casts.append(helper.make_node("Cast", [half.name], [tensor.name], to=TensorProto.FLOAT))
    nodes = list(graph.node)
    del graph.initializer[:], graph.node[:]
    graph.initializer.extend(kept)
    graph.node.extend(casts + nodes)
    onnx.checker.check_model(model)
    return model


def export(network: PanelFinder, path: Path) -> str:
    """Writes the file and gives its SHA-256."""
    network = folded(network.eval().cpu().float())
    torch.onnx.export(
        network,
        (torch.zeros(1, 3, 384, 512),),
        str(path),
        input_names=["picture"],
        output_names=["maps"],
        opset_version=OPSET,
        dynamic_axes={"picture": {2: "height", 3: "width"}, "maps": {2: "half_height", 3: "half_width"}},
        dynamo=False,
    )
    onnx.save(halved(onnx.load(str(path))), str(path))
    return hashlib.sha256(path.read_bytes()).hexdigest()


if __name__ == "__main__":
    checkpoint, target = Path(sys.argv[1]), Path(sys.argv[2])
    finder = PanelFinder()
    finder.load_state_dict(torch.load(checkpoint, map_location="cpu", weights_only=True)["network"])
    print(export(finder, target), target.stat().st_size, "bytes")
