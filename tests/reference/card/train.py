"""Trains the network of src/card that sees the face of an ID-1 card, and writes it as face.net.

  python3 scenes.py pool --textures SURFACES
  python3 train.py face pool PHOTOS... --out mask --steps 9000
  cargo xtask candidates pool/*.jpg PHOTOS/*.jpg > candidates.txt
  python3 train.py verdict candidates.txt --out face --steps 5000 --start-from mask.pkl

The first run learns which part of a window is the face; the second adds whether the hypothesis is one, from the
true corners, from near misses of them, and from what the finder itself takes for a card. PHOTOS are folders of
NAME.jpg, with NAME.json beside those that show a card (`truth`, or `card.corners_px` as in samples/README.md).
Needs numpy, opencv-python-headless and jax (CPU); ten to twenty minutes a run on two cores.

The file in src/card was trained on 1342 drawn scenes whose grounds are drawn or are textures of Debian's
supertuxkart-data and 0ad-data, on 67 everyday photographs without a card from Debian's opencv-doc and wallpaper
packages and PyPI's sample data, and in its last run on rendered photos with truth.
"""
import argparse
import glob
import json
import os
import pickle
import sys
import time

import cv2
import jax
import jax.numpy as jnp
import numpy as np

sys.path.insert(0, os.path.join(os.path.dirname(__file__), ".."))
from network import adam, fresh, run, write  # noqa: E402

CLOSE, CLOSE_MM = 128, 128.0
ID1 = (85.60, 53.98)
cv2.setNumThreads(1)


def rounded_mask(quad, shape):
    """Coverage of the card's face (rounded corners) on a grid, 4x4 samples."""
    h, w = shape
    M = cv2.getPerspectiveTransform(np.float32([[0, 0], [ID1[0], 0], [ID1[0], ID1[1]], [0, ID1[1]]]), np.float32(quad))
    pts, r = [], 3.18
    for cx, cy, a0 in ((r, r, 180), (ID1[0] - r, r, 270), (ID1[0] - r, ID1[1] - r, 0), (r, ID1[1] - r, 90)):
        for a in np.deg2rad(a0 + np.arange(0, 91, 15)):
            pts.append([cx + r * np.cos(a), cy + r * np.sin(a)])
    p = cv2.perspectiveTransform(np.float32(pts)[None], M)[0]
    m = np.zeros((h * 4, w * 4), np.uint8)
    if np.abs(p).max() < 8000:
        cv2.fillPoly(m, [np.round((p * 4 + 1.5) * 16).astype(np.int32)], 255, shift=4)
    return cv2.resize(m, (w, h), interpolation=cv2.INTER_AREA).astype(np.float32) / 255


def vary(x, rng):
    x = np.clip(x, 0, 1) ** np.exp(rng.normal(0, 0.15))
    x = x * np.exp(rng.normal(0, 0.12, 3))
    grey = x.mean(-1, keepdims=True)
    x = grey + (x - grey) * np.clip(rng.normal(0.95, 0.3), 0, 1.6)
    if rng.random() < 0.1:
        x = x[..., rng.permutation(3)]
    if rng.random() < 0.15:
        x = 1 - x if rng.random() < 0.3 else x
    if rng.random() < 0.3:
        x = cv2.GaussianBlur(x.astype(np.float32), (0, 0), rng.uniform(0.3, 1.2))
    return np.clip(x + rng.normal(0, rng.uniform(0, 0.02), x.shape), 0, 1.5)


def planes(x, valid):
    """RGB (n, n, 3) and valid to (n/2, n/2, 13): the four pixels of each block side by side."""
    seen = valid > 0.5
    mean = x[seen].mean(0) if seen.any() else np.zeros(3)
    spread = np.sqrt(((x[seen] - mean) ** 2).mean()) + 3 / 255 if seen.any() else 1.0
    z = (x - mean) / spread * valid[..., None]
    blocks = [z[dy::2, dx::2] for dy in (0, 1) for dx in (0, 1)]
    v = (valid[0::2, 0::2] + valid[1::2, 0::2] + valid[0::2, 1::2] + valid[1::2, 1::2]) / 4
    return np.concatenate(blocks + [v[..., None]], -1).astype(np.float32)


def window_on(image, quad):
    """The window square-on at a hypothesis (RGB 0..1), where it lies within the photo, and its place."""
    n, k = CLOSE, CLOSE / CLOSE_MM
    cx, cy, c = ID1[0] / 2 * k, ID1[1] / 2 * k, (CLOSE - 1) / 2
    square = np.float32([[c - cx, c - cy], [c + cx, c - cy], [c + cx, c + cy], [c - cx, c + cy]])
    if not np.isfinite(quad).all():
        return None
    M = cv2.getPerspectiveTransform(square, np.float32(quad))
    z = M[2, 0] * np.array([0, n, n, 0]) + M[2, 1] * np.array([0, 0, n, n]) + M[2, 2]
    if not np.isfinite(M).all() or z.min() < 0.2:
        return None
    px, src, f = max(0.3, np.linalg.norm(quad[0] - quad[1]) / ID1[0] / k), image, 1.0
    while px / f > 1.5 and min(src.shape[:2]) > 8:  # averages where the window is coarser than the photo
        src, f = cv2.resize(src, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA), f * 2
    S = np.array([[1 / f, 0, (1 / f - 1) / 2], [0, 1 / f, (1 / f - 1) / 2], [0, 0, 1]]) @ M
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    x = cv2.warpPerspective(src, S, (n, n), flags=flags, borderMode=cv2.BORDER_REPLICATE).astype(np.float32) / 255
    v = cv2.warpPerspective(np.ones(src.shape[:2], np.float32), S, (n, n), flags=flags, borderMode=cv2.BORDER_CONSTANT)
    return x, (v > 0.5).astype(np.float32), M


def sample_close(scene, rng):
    image, truth = scene["image"], scene["truth"]
    h, w = image.shape[:2]
    if truth is not None and rng.random() < 0.72:
        quad = np.array(truth)
    elif scene["others"] and rng.random() < 0.6:
        quad = np.array(scene["others"][rng.integers(len(scene["others"]))][1])
    else:
        a, r = rng.uniform(0, 2 * np.pi), np.exp(rng.uniform(np.log(0.03), np.log(0.25))) * w
        b = np.array([[-1, -0.63], [1, -0.63], [1, 0.63], [-1, 0.63]]) * r
        quad = b @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]).T + rng.uniform(0, 1, 2) * [w, h]
    long = np.linalg.norm(quad[0] - quad[1])
    r = rng.random()
    off = 0.006 if r < 0.35 else 0.03 if r < 0.8 else 0.08
    quad = quad + rng.normal(0, off, (4, 2)) * long + rng.normal(0, off, 2) * long
    if rng.random() < 0.3:  # a hypothesis of another size
        c = quad.mean(0)
        quad = c + (quad - c) * np.exp(rng.normal(0, 0.15, 1))
    if rng.random() < 0.5:
        quad = quad[[2, 3, 0, 1]]
    if rng.random() < 0.5:
        quad = quad[[1, 0, 3, 2]]
    if rng.random() < 0.1:
        quad = quad[[1, 2, 3, 0]]
    seen = window_on(image, quad)
    if seen is None:
        return sample_close(scene, rng)
    x, valid, M = seen
    n = CLOSE
    y = np.zeros((n // 2, n // 2), np.float32)
    if truth is not None:
        q = cv2.perspectiveTransform(np.float32(truth)[None], np.linalg.inv(M))[0]
        y = rounded_mask((q - 0.5) / 2, y.shape)
    return planes(vary(x, rng), valid), y[..., None]


def load(path):
    image = cv2.imread(path)[..., ::-1]
    told = path[:-4] + ".json"
    d = json.load(open(told)) if os.path.exists(told) else {}
    truth = d.get("truth") or (d["card"]["corners_px"] if "card" in d else None)
    return image, truth, [(n, np.array(q)) for n, q in d.get("others", [])]


def reduced(image, truth, others, side=1280):
    k = side / max(image.shape[:2])
    if k < 1:
        image = cv2.resize(image, None, fx=k, fy=k, interpolation=cv2.INTER_AREA)
        move = lambda q: (np.array(q) + 0.5) * k - 0.5
        truth, others = (None if truth is None else move(truth)), [(n, move(q)) for n, q in others]
    return dict(image=np.ascontiguousarray(image), truth=truth, others=others)


NO_CARD = "business business2 bridge playing block label tile sticker book matchbox box hatch".split()


def verdict_windows(lists, rng):
    """Windows on hypotheses: (RGB, within the photo, mask, is a card, has no card at all)."""
    photos = {}
    for path in lists:
        for line in open(path):
            word, *rest = line.split()
            if word == "PHOTO":
                name = rest[0]
                photos[name] = []
            elif word == "CANDIDATE":
                photos[name].append((float(rest[0]), np.array([float(v) for v in rest[1:]]).reshape(4, 2)))
    windows = []
    for name, candidates in photos.items():
        image, truth, others = load(name)

        def add(quad, label, jitter):
            quad = np.array(quad) + rng.normal(0, jitter, (4, 2)) * np.linalg.norm(quad[0] - quad[1])
            seen = window_on(image, quad)
            if seen is None or seen[1].mean() < 0.3:
                return
            x, valid, M = seen
            y = np.zeros((CLOSE // 2, CLOSE // 2), np.float32)
            if truth is not None:
                y = rounded_mask((cv2.perspectiveTransform(np.float32(truth)[None], np.linalg.inv(M))[0] - 0.5) / 2, y.shape)
            windows.append(((x * 255).astype(np.uint8), valid, y, label, truth is None))

        candidates.sort(key=lambda c: -c[0])
        if truth is None:
            for _, quad in candidates[:30]:
                add(quad, 0, 0.001)
        else:
            t = np.array(truth)
            long, middle, wrong = np.linalg.norm(t[0] - t[1]), t.mean(0), 0
            turns = [t[(np.arange(4) + k) % 4] for k in range(4)] + [t[(k - np.arange(4)) % 4] for k in range(4)]
            for _ in range(4):
                add(t, 1, 0.0015)
            for _, quad in candidates:
                error = min(np.linalg.norm(quad - turn, axis=1).max() for turn in turns) / long
                if error < 0.012:
                    add(quad, 1, 0.0005)
                elif error > 0.022 and wrong < 14:
                    add(quad, 0, 0.001)
                    wrong += 1
            for _ in range(2):  # near misses: another size, and one side moved
                add(middle + (t - middle) * (1 + rng.choice([-1, 1]) * rng.uniform(0.03, 0.15)), 0, 0.001)
                i, q, by = rng.integers(4), t.copy(), rng.choice([-1, 1]) * rng.uniform(0.035, 0.15)
                q[i] += (t[i] - t[(i + 3) % 4]) * by
                q[(i + 1) % 4] += (t[(i + 1) % 4] - t[(i + 2) % 4]) * by
                add(q, 0, 0.001)
        for kind, quad in others:
            if kind in NO_CARD and np.linalg.norm(quad[0] - quad[1]) > 40:
                add(quad, 0, 0.004)
    return windows


def verdict_batch(groups, counts, rng):
    xs, ys, labels = [], [], []
    for group, count in zip(groups, counts):
        for _ in range(count if group else 0):
            x, valid, y, label, _ = group[rng.integers(len(group))]
            for axis in (0, 1):
                if rng.random() < 0.5:
                    x, valid, y = np.flip(x, axis), np.flip(valid, axis), np.flip(y, axis)
            xs.append(planes(vary(x.astype(np.float32) / 255, rng), valid))
            ys.append(y[..., None])
            labels.append(label)
    return np.stack(xs), np.stack(ys), np.array(labels, np.float32)


def cross(z, y):
    return jnp.maximum(z, 0) - z * y + jnp.log1p(jnp.exp(-jnp.abs(z)))


def face_loss(weights, x, y, _):
    z = run(weights, x)
    p = jax.nn.sigmoid(z)
    dice = 1 - (2 * (p * y).sum((1, 2, 3)) + 1) / (p.sum((1, 2, 3)) + y.sum((1, 2, 3)) + 1)
    return cross(z, y).mean() + 0.1 * dice.mean()


def verdict_loss(weights, x, y, labels):
    z = run(weights, x)
    # The mean over the hypothesis and what lies near it: 10 cells of the rim are left out (face.rs).
    verdict = z[:, 10:54, 10:54, 1].mean((1, 2))
    return 0.5 * cross(z[..., 0], y[..., 0]).mean() + cross(verdict, labels).mean()


def main():
    p = argparse.ArgumentParser()
    p.add_argument("kind", choices=["face", "verdict"])
    p.add_argument("material", nargs="+", help="folders of photos, or lists of candidates")
    p.add_argument("--out", required=True)
    p.add_argument("--steps", type=int, default=5000)
    p.add_argument("--rate", type=float, default=2e-3)
    p.add_argument("--start-from")
    a = p.parse_args()
    rng = np.random.default_rng(1)
    weights = pickle.load(open(a.start_from, "rb")) if a.start_from else fresh(0, 1, 13)
    if a.kind == "face":
        scenes = [reduced(*load(f)) for folder in a.material for f in sorted(glob.glob(os.path.join(folder, "*.jpg")))]
        loss = face_loss

        def batch():
            x, y = zip(*[sample_close(scenes[rng.integers(len(scenes))], rng) for _ in range(8)])
            return np.stack(x), np.stack(y), np.zeros(8, np.float32)
    else:
        windows = verdict_windows(a.material, rng)
        groups = [
            [w for w in windows if w[3]],
            [w for w in windows if not w[3] and not w[4]],
            [w for w in windows if w[4]],
        ]
        loss = verdict_loss
        if weights[-1].shape[0] == 1:
            weights[-2] = np.concatenate([weights[-2], rng.normal(0, 0.1, weights[-2].shape)], -1)
            weights[-1] = np.append(weights[-1], 0.0)

        def batch():
            return verdict_batch(groups, (6, 6, 4), rng)

    step = adam(loss, a.steps, a.rate)
    weights = [jnp.array(w, jnp.float32) for w in weights]
    first, second, values, begin = [w * 0 for w in weights], [w * 0 for w in weights], [], time.time()
    for t in range(a.steps):
        weights, first, second, value = step(weights, first, second, t, *batch())
        values.append(float(value))
        if t % 100 == 99:
            print(t + 1, round(float(np.mean(values[-100:])), 4), round(time.time() - begin), flush=True)
            pickle.dump([np.array(w) for w in weights], open(a.out + ".pkl", "wb"))
    write(weights, a.out + ".net")


if __name__ == "__main__":
    main()
