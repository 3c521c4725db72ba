"""Fits the weights of src/card/look/mod.rs: how likely a hypothesis is the card, by all that was seen of it.

  cargo xtask candidates --looked PHOTOS/*.jpg > looked.txt
  python3 odds.py looked.txt...

PHOTOS with NAME.json beside them as for train.py. A hypothesis is right when its worst corner is within 1 % of the
long side, or 3 px; up to 1.6 % it counts for neither. Logistic regression; needs numpy.

The weights in the source: 230 drawn scenes (scenes.py), 24 path-traced ones and 87 photographs without a card.
Prints them, and how many photos are found right and wrong from several thresholds.
"""
import json
import os
import sys

import numpy as np


def truth_of(photo):
    told = photo[:-4] + ".json"
    d = json.load(open(told)) if os.path.exists(told) else {}
    truth = d.get("truth") or (d["card"]["corners_px"] if "card" in d else None)
    return [np.array(q, float) for q in d.get("cards") or ([truth] if truth else [])]


def misfit(quad, truths):
    """Worst corner in px and in shares of the long side, against the nearest card."""
    best = (np.inf, np.inf)
    for t in truths:
        long = max(np.linalg.norm(t - np.roll(t, 1, 0), axis=1))
        for turned in [np.roll(t, k, 0) for k in range(4)] + [np.roll(t[::-1], k, 0) for k in range(4)]:
            px = np.linalg.norm(quad - turned, axis=1).max()
            best = min(best, (px, px / long))
    return best


def load(paths):
    signs, right, photo = [], [], []
    for path in paths:
        for line in open(path):
            word, *rest = line.split()
            if word == "PHOTO":
                name, truths = rest[0], truth_of(rest[0])
                continue
            values = [float(v) for v in rest]
            px, share = misfit(np.array(values[:8]).reshape(4, 2), truths)
            good = share < 0.01 or px < 3
            if good or share > 0.016:
                signs.append(values[8:])
                right.append(float(good))
                photo.append(name)
    return np.array(signs), np.array(right), photo


def fit(signs, right, slack=1e-3):
    scale = signs.std(0)
    scale[0] = 1
    z, w = signs / scale, np.zeros(signs.shape[1])
    held = slack * (np.arange(len(w)) > 0)
    for _ in range(60):
        p = 1 / (1 + np.exp(-z @ w))
        slope = z.T @ (p - right) / len(right) + held * w
        bend = (z * (p * (1 - p))[:, None]).T @ z / len(right) + slack * np.eye(len(w))
        w = w - np.linalg.solve(bend, slope)
    return w / scale


def main():
    signs, right, photo = load(sys.argv[1:])
    weights = fit(signs, right)
    print("weights", np.round(weights, 3))
    odds, first = signs @ weights, {}
    for k, name in enumerate(photo):
        if name not in first or odds[k] > odds[first[name]]:
            first[name] = k
    for least in (0.35, 0.5, 0.65, 0.8):
        shown = [right[k] for k in first.values() if odds[k] > np.log(least / (1 - least))]
        print(f"from {least}: {sum(shown):.0f} right, {len(shown) - sum(shown):.0f} wrong, of {len(first)} photos")


if __name__ == "__main__":
    main()
