"""The small convolutional network that src/net.rs runs, in PyTorch, and its file."""
import numpy as np
import torch
from torch import nn
from torch.nn import functional as F


class Net(nn.Module):
    """Levels of two 3 x 3 convolutions with halving by maximum between them, one more at the lowest, then
    doubling and joining on the way up, and a 1 x 1 convolution at the end (U-Net)."""

    def __init__(self, channels, outputs, inputs=4):
        super().__init__()
        shapes, c = [], inputs
        for k in channels:
            shapes += [(c, k, 3), (k, k, 3)]
            c = k
        shapes.append((c, c, 3))
        for k in channels[-2::-1]:
            shapes.append((c + k, k, 3))
            c = k
        shapes.append((c, outputs, 1))
        self.levels = len(channels)
        self.layers = nn.ModuleList(nn.Conv2d(i, o, k, padding=k // 2) for i, o, k in shapes)
        for layer in self.layers:
            nn.init.kaiming_normal_(layer.weight, nonlinearity="relu")
            nn.init.zeros_(layer.bias)
        nn.init.normal_(self.layers[-1].weight, std=0.01)

    def forward(self, x):
        layers, kept = iter(self.layers), []
        for level in range(self.levels):
            x = F.relu(next(layers)(x))
            x = F.relu(next(layers)(x))
            if level + 1 < self.levels:
                kept.append(x)
                x = F.max_pool2d(x, 2)
        x = F.relu(next(layers)(x))
        while kept:
            x = F.relu(next(layers)(torch.cat([F.interpolate(x, scale_factor=2, mode="nearest"), kept.pop()], 1)))
        return next(layers)(x)


def rounded(layer):
    """8-bit weights with one scale for each output."""
    rows = layer.weight.detach().cpu().numpy().reshape(layer.out_channels, -1)
    scale = (np.maximum(np.abs(rows).max(1), 1e-9) / 127).astype("<f4")
    return scale, np.clip(np.round(rows / scale[:, None]), -127, 127).astype(np.int8)


def write(net, path):
    out = b"SNET" + bytes([len(net.layers)])
    for layer in net.layers:
        scale, weights = rounded(layer)
        bias = layer.bias.detach().cpu().numpy().astype("<f4")
        out += bytes([layer.kernel_size[0], layer.in_channels, layer.out_channels])
        out += scale.tobytes() + bias.tobytes() + weights.tobytes()
    with open(path, "wb") as file:
        file.write(out)


def read(path):
    """The network of a file, with the weights as it holds them."""
    data = open(path, "rb").read()
    at, parts = 5, []
    for _ in range(data[4]):
        k, i, o = data[at : at + 3]
        at += 3
        scale, bias = (np.frombuffer(data, "<f4", o, at + 4 * o * n) for n in (0, 1))
        at += 8 * o
        weights = np.frombuffer(data, np.int8, o * i * k * k, at).astype(np.float32).reshape(o, -1)
        at += weights.size
        parts.append((torch.tensor((weights * scale[:, None]).reshape(o, i, k, k)), torch.tensor(bias.copy())))
    levels = (len(parts) - 1) // 3
    net = Net([parts[2 * n][0].shape[0] for n in range(levels)], parts[-1][0].shape[0], parts[0][0].shape[1])
    for layer, (weight, bias) in zip(net.layers, parts):
        layer.weight.data, layer.bias.data = weight, bias
    return net.eval()
