"""Trains the three networks of src/shell from rendered photos with truth, and writes them as .net files.

  python3 train.py body    PHOTOS... --out body.net    --steps 20000 [--hold-out NAME...]
  python3 train.py aligned PHOTOS... --out aligned.net --steps 6000 --start-from body.net.pkl
  python3 train.py corner  PHOTOS... --out corner.net  --steps 16000

PHOTOS are folders of NAME.jpg with NAME.json beside it (frames and fields as in samples/README.md).
Needs numpy, opencv-python-headless and jax (CPU). About 20 minutes each on two cores. The files in
src/shell were trained in several runs, each from the weights of the one before, first without the photos
that were held out for judging, at last with all.

Each step takes patches of the plane of the shell's edge, turned, mirrored, scaled and shifted at random,
with light, colour, shadow, blur, noise and things lying across varied at random, so that the network sees
shapes rather than the few colours of the renderings. `body` sees whole shells 31 to 51 px wide in 64 px and
answers with the shell's mask, the places of the tips and the notches of the last teeth, and the front half
of the shell; `aligned` does the same with the long axis along the window; `corner` sees 38 mm of the margin
near by and answers with the first three maps.
"""
import argparse
import glob
import json
import os
import pickle
import sys

import cv2
import jax.numpy as jnp
import numpy as np

sys.path.insert(0, os.path.join(os.path.dirname(__file__), ".."))
from network import adam, fresh, run, write  # noqa: E402

BASE_MM = 0.5  # scale of the rectified photos the patches are cut from
REACH_MM = 330  # half the side of the rectified photos
SIDE = 64
CORNER_MM = 0.6


# ---------------------------------------------------------------- photos, rectified
def camera_of(truth):
    c, p = truth["camera"], truth["card"]["pose_card_to_camera"]
    return c["focal_px"], np.array([c["cx"], c["cy"]]), np.array(p["R"]), np.array(p["t_mm"])


def to_plane(truth, px, h):
    f, c, R, t = camera_of(truth)
    px = np.asarray(px, float)
    d = np.concatenate([(px - c) / f, np.ones(px.shape[:-1] + (1,))], -1) @ R
    eye = -R.T @ t
    return eye[:2] + ((h - eye[2]) / d[..., 2])[..., None] * d[..., :2]


def rectified(path):
    truth = json.load(open(path))
    image = cv2.imread(path[:-5] + ".jpg")  # upright: OpenCV applies the EXIF orientation
    shell, place = truth["shell"], truth["card"]["placement"]
    w = shell["width_mm"]
    h = {"level": 0.0, "deck": 0.22 * w, "back": -0.14 * w}[place]
    n = int(2 * REACH_MM / BASE_MM)
    axis = -REACH_MM + (np.arange(n) + 0.5) * BASE_MM
    X, Y = np.meshgrid(axis, -axis)
    f, c, R, t = camera_of(truth)
    P = np.stack([X, Y, np.full_like(X, h)], -1) @ R.T + t
    uv = (P[..., :2] / P[..., 2:] * f + c).astype(np.float32)
    k = max(1, int(round(f / truth["card"]["distance_mm"] * BASE_MM)))
    source = cv2.blur(image, (k, k)) if k > 1 else image
    rgb = cv2.remap(source, uv[..., 0], uv[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)[..., ::-1].copy()
    H, W = image.shape[:2]
    valid = ((uv[..., 0] >= 0) & (uv[..., 0] <= W - 1) & (uv[..., 1] >= 0) & (uv[..., 1] <= H - 1)).astype(np.uint8) * 255

    def place_of(px):
        q = to_plane(truth, px, h)
        return np.stack([(q[..., 0] + REACH_MM) / BASE_MM - 0.5, (REACH_MM - q[..., 1]) / BASE_MM - 0.5], -1)

    cv2.fillPoly(valid, [np.round(place_of(truth["card"]["corners_px"])).astype(int)], 0)
    outline = place_of(shell["outline_px"])
    mask = np.zeros(valid.shape, np.uint8)
    cv2.fillPoly(mask, [np.round(outline * 16).astype(int)], 255, shift=4)
    levels = [(rgb, valid, mask)]
    for _ in range(4):
        levels.append(tuple(cv2.resize(x, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA) for x in levels[-1]))
    return dict(levels=levels, outline=outline, tips=place_of(shell["tips_px"]), notches=place_of(shell["notchs_px"]),
                width=shell["tip_width_mm"])


# ---------------------------------------------------------------- patches
def cut(photo, centre, mm_per_px, angle, mirrored):
    s = mm_per_px / BASE_MM
    level = int(np.clip(np.floor(np.log2(max(s, 1)) + 0.25), 0, 4))
    c, d = np.cos(angle) * s, np.sin(angle) * s
    A = np.array([[c, -d], [d, c]])
    if mirrored:
        A = A @ np.diag([-1, 1.0])
    b = np.asarray(centre) - A @ np.array([(SIDE - 1) / 2] * 2)
    M = np.concatenate([A / 2**level, ((b + 0.5) / 2**level - 0.5)[:, None]], 1)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    maps = [cv2.warpAffine(x, M, (SIDE, SIDE), flags=flags, borderMode=cv2.BORDER_CONSTANT) for x in photo["levels"][level]]
    inverse = np.linalg.inv(A)
    return [x.astype(np.float32) / 255 for x in maps], lambda p: (np.asarray(p) - b) @ inverse.T


def vary(x, valid, mask, rng):
    n = x.shape[0]

    def colour(x):
        y = x * np.exp(rng.normal(0, 0.22, 3))
        grey = y.mean(-1, keepdims=True)
        y = grey + (y - grey) * np.clip(rng.normal(0.95, 0.3), 0, 1.6)
        return np.clip(y[..., rng.permutation(3)] if rng.random() < 0.1 else y, 0, 2)

    x = np.clip(x, 0, 1) ** np.exp(rng.normal(0, 0.25))
    if rng.random() < 0.15:  # a shell of another colour
        soft = cv2.GaussianBlur(mask, (0, 0), 0.7)[..., None]
        x = x * (1 - soft) * np.exp(rng.normal(0, 0.25)) + colour(x) * soft
    x = colour(x)
    if rng.random() < 0.4:  # the shadow of something
        a = rng.uniform(0, 2 * np.pi)
        yy, xx = np.mgrid[:n, :n]
        d = (xx - n / 2) * np.cos(a) + (yy - n / 2) * np.sin(a) - rng.uniform(-n / 2, n / 2)
        broad = rng.uniform(4, 60)
        s = 1 / (1 + np.exp(-d / rng.uniform(0.4, 3))) / (1 + np.exp((d - broad) / rng.uniform(0.4, 3)))
        x = x * (1 - s[..., None] * rng.uniform(0.2, 0.75))
    if rng.random() < 0.3:  # uneven light
        g = cv2.resize(rng.normal(0, 0.3, (3, 3)).astype(np.float32), (n, n), interpolation=cv2.INTER_CUBIC)
        x = x * np.exp(g)[..., None]
    if rng.random() < 0.15:  # weed, rope
        for _ in range(rng.integers(1, 3)):
            p = rng.uniform(0, n, 2)
            q = p + rng.normal(0, n / 2, 2)
            line = np.zeros((n, n), np.float32)
            ends = [tuple(int(v) for v in np.round(e * 16)) for e in (p, q)]
            cv2.line(line, *ends, 1.0, int(rng.integers(1, 4)), cv2.LINE_AA, 4)
            x = x * (1 - line[..., None]) + rng.uniform(0, 1, 3) * line[..., None]
    if rng.random() < 0.4:
        x = cv2.GaussianBlur(x.astype(np.float32), (0, 0), rng.uniform(0.2, 1.3))
    x = x + rng.normal(0, rng.uniform(0, 0.024), x.shape)
    if rng.random() < 0.15:  # a card on the back
        box = cv2.boxPoints((rng.uniform(0, n, 2).tolist(), rng.uniform(8, 30, 2).tolist(), float(rng.uniform(0, 180))))
        valid = np.ascontiguousarray(valid)
        cv2.fillPoly(valid, [np.round(box).astype(int)], 0.0)
    return np.clip(x, 0, 1.5), valid


def normalised(x, valid):
    seen = valid > 0.5
    if seen.sum() < 20:
        return np.concatenate([x * 0, valid[..., None]], -1).astype(np.float32)
    mean = x[seen].mean(0)
    spread = np.sqrt(((x[seen] - mean) ** 2).mean()) + 3 / 255
    return np.concatenate([(x - mean) / spread * valid[..., None], valid[..., None]], -1).astype(np.float32)


def heat(points, sigma):
    y, x = np.mgrid[:SIDE, :SIDE]
    return np.max([np.exp(-((x - p[0]) ** 2 + (y - p[1]) ** 2) / (2 * sigma**2)) for p in points], 0).astype(np.float32)


def patch(kind, photo, rng):
    around, w, turn, mirrored = photo["outline"].mean(0), photo["width"], rng.uniform(0, 2 * np.pi), rng.random() < 0.5
    spot = lambda r: np.array([np.cos(a := rng.uniform(0, 2 * np.pi)), np.sin(a)]) * r / BASE_MM
    if kind == "corner":
        r = rng.random()
        points = photo["tips"] if r < 0.46 else photo["notches"] if r < 0.92 else photo["outline"][rng.integers(len(photo["outline"]), size=2)]
        away = 7 * np.sqrt(rng.random()) if rng.random() < 0.8 else 3 * abs(rng.normal())
        centre, scale, sigma = points[rng.integers(2)] + spot(away), CORNER_MM * np.exp(rng.normal(0, 0.06)), 1.6
    elif kind == "aligned":
        across = photo["notches"][1] - photo["notches"][0]
        turn = np.arctan2(across[1], across[0]) + rng.normal(0, 0.09) + np.pi * (rng.random() < 0.5)
        # A blue crab's spines reach a third beyond its body.
        body = w * (0.75 if w > 1.2 * np.hypot(*across) * BASE_MM else 1.0)
        centre, scale, sigma = around + rng.normal(0, 0.03, 2) * body / BASE_MM, max(body / rng.uniform(34, 47), BASE_MM), 1.3
    else:
        r, sigma = rng.random(), 1.3
        if r < 0.22:  # the first, wide look round the card
            centre, scale = np.array([REACH_MM / BASE_MM] * 2) + rng.normal(0, 60, 2), 9 * np.exp(rng.normal(0, 0.12))
        elif r < 0.32:  # beside the crab
            centre, scale = around + spot(w * rng.uniform(0.5, 1.2)), max(w / rng.uniform(28, 50), BASE_MM)
        else:
            centre, scale = around + rng.normal(0, 0.07, 2) * w / BASE_MM, max(w / rng.uniform(31, 51), BASE_MM)
    (x, valid, mask), place = cut(photo, centre, scale, turn, mirrored)
    x, valid = vary(x, valid, mask, rng)
    maps = [mask, heat(place(photo["tips"]), sigma), heat(place(photo["notches"]), sigma)]
    if kind != "corner":  # left and right are the crab's own, so a mirrored patch has its front on the other side
        left, right = place(photo["notches"])
        front = np.array([right[1] - left[1], left[0] - right[0]]) * (-1 if mirrored else 1)
        front, middle = front / (np.hypot(*front) + 1e-9), (left + right) / 2
        y, x_ = np.mgrid[:SIDE, :SIDE]
        maps.append((mask * np.clip((x_ - middle[0]) * front[0] + (y - middle[1]) * front[1] + 0.5, 0, 1)).astype(np.float32))
    return normalised(x, valid), np.stack(maps, -1)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("kind", choices=["body", "aligned", "corner"])
    p.add_argument("photos", nargs="+")
    p.add_argument("--out", required=True)
    p.add_argument("--steps", type=int, default=5000)
    p.add_argument("--batch", type=int, default=8)
    p.add_argument("--rate", type=float, default=2.5e-3)
    p.add_argument("--hold-out", nargs="*", default=[], help="name prefixes kept for judging")
    p.add_argument("--start-from", help="weights (.pkl) of an earlier run")
    a = p.parse_args()
    scenes = {}
    for path in sorted(f for folder in a.photos for f in glob.glob(os.path.join(folder, "*.json"))):
        name = os.path.basename(path)[:-5]
        if not name.startswith(tuple(a.hold_out) or ("\0",)):
            scenes.setdefault(name.rstrip("abcde"), []).append(rectified(path))
    keys, rng = sorted(scenes), np.random.default_rng(1)
    balance = jnp.array([1.0, 20.0, 20.0] if a.kind == "corner" else [1.0, 25.0, 25.0, 1.0])
    share = jnp.array([0.6, 3.0, 3.0] if a.kind == "corner" else [1.0, 3.0, 3.0, 1.0])

    def loss(weights, x, y):
        z = run(weights, x)
        cross = jnp.maximum(z, 0) - z * y + jnp.log1p(jnp.exp(-jnp.abs(z)))
        return (cross * (1 + (balance - 1) * y) * share).mean()

    step = adam(loss, a.steps, a.rate)
    weights = pickle.load(open(a.start_from, "rb")) if a.start_from else fresh(0, 3 if a.kind == "corner" else 4, 4)
    weights = [jnp.array(w) for w in weights]
    first, second, values = [w * 0 for w in weights], [w * 0 for w in weights], []
    for t in range(a.steps):
        chosen = [scenes[keys[rng.integers(len(keys))]] for _ in range(a.batch)]
        pairs = [patch(a.kind, photos[rng.integers(len(photos))], rng) for photos in chosen]
        x, y = (np.stack(part) for part in zip(*pairs))
        weights, first, second, value = step(weights, first, second, t, x, y)
        values.append(float(value))
        if t % 100 == 99:
            print(t + 1, round(float(np.mean(values[-100:])), 4), flush=True)
            pickle.dump([np.array(w) for w in weights], open(a.out + ".pkl", "wb"))
    write(weights, a.out)


if __name__ == "__main__":
    main()
