"""Outputs of whole networks of src/card for a window of numbers, into network_output.json: a forward pass of the network
of network.py, written in plain numpy sums in double precision from the file format of its `write`.

    python3 tests/reference/network_output.py
"""
import json
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
NETWORKS = ["face", "corners", "sides"]
# Cells of the answer that are held: corners, edges and middle.
CELLS = [(0, 0), (31, 31), (0, 17), (13, 0), (16, 15), (7, 22), (25, 9), (30, 3)]
SIDE = 32


def layers(path):
    data = path.read_bytes()
    assert data[:4] == b"SNET"
    at, out = 5, []
    for _ in range(data[4]):
        kernel, inputs, outputs = data[at:at + 3]
        at += 3
        scale = np.frombuffer(data, "<f4", outputs, at).astype(float)
        bias = np.frombuffer(data, "<f4", outputs, at + 4 * outputs).astype(float)
        at += 8 * outputs
        count = outputs * inputs * kernel * kernel
        rows = np.frombuffer(data, np.int8, count, at).astype(float).reshape(outputs, inputs, kernel, kernel)
        at += count
        out.append((rows * scale[:, None, None, None], bias))
    assert at == len(data)
    return out


def run(network, x):
    rest = iter(network)

    def conv(x, rectified=True):
        weights, bias = next(rest)
        reach = weights.shape[2] // 2
        padded = np.pad(x, ((0, 0), (reach, reach), (reach, reach)))
        windows = np.lib.stride_tricks.sliding_window_view(padded, weights.shape[2:], (1, 2))
        y = np.einsum("oikl,iyxkl->oyx", weights, windows) + bias[:, None, None]
        return np.maximum(y, 0) if rectified else y

    kept = []
    for level in range(4):
        x = conv(conv(x))
        if level < 3:
            kept.append(x)
            x = x.reshape(len(x), x.shape[1] // 2, 2, x.shape[2] // 2, 2).max((2, 4))
    x = conv(x)
    while kept:
        x = conv(np.concatenate([x.repeat(2, 1).repeat(2, 2), kept.pop()]))
    return conv(x, False)


def window(inputs):
    c, y, x = np.meshgrid(range(inputs), range(SIDE), range(SIDE), indexing="ij")
    return ((x * 7 + y * 13 + c * 5 + (x // 8) * (y // 8) * 3) % 17) / 8.5 - 1.0


held = {}
for name in NETWORKS:
    network = layers(HERE.parent.parent / "src/card/look" / f"{name}.net")
    answer = run(network, window(network[0][0].shape[1]))
    held[name] = [[round(float(answer[c, y, x]), 5) for x, y in CELLS] for c in range(len(answer))]
(HERE / "network_output.json").write_text(json.dumps({"cells": CELLS, "side": SIDE, "answers": held}, indent=1) + "\n")
