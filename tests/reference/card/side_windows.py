"""Windows along the sides of cards: material for src/card/look/sides.net.

  python3 side_windows.py OUT --count 1500 --seed 11 --textures SURFACES...
  python3 side_windows.py OUT --photos PHOTOS/*.jpg --many 4

writes OUT/NAME.npz: the windows (x), which of their pixels lie within the photo (v), and where the edge of the card's
face crosses each column of cells, in mm inside the side that was looked along (o). Needs numpy and
opencv-python-headless.
"""
import json
import os

import cv2
import numpy as np

import scenes
from corner_windows import CARD, ID1, arguments, clockwise

cv2.setNumThreads(1)
N, ACROSS = 64, 3.2  # as in src/card/look/sides.rs


class Near(scenes.Camera):
    def __init__(self, rng, W, H, most_tilt=42):
        super().__init__(rng, W, H, most_tilt)
        share = np.exp(rng.uniform(np.log(0.16), np.log(0.8)))
        self.d = self.f * ID1[0] / (share * W)
        self.t = np.array([0, 0, self.d])


def window(image, quad, i):
    """Columns along side i of the hypothesis, rows from outside to inside."""
    H = cv2.getPerspectiveTransform(CARD, np.float32(quad))
    start, along = CARD[i], CARD[(i + 1) % 4] - CARD[i]
    length = np.linalg.norm(along)
    along = along / length
    inward = np.array([-along[1], along[0]])
    px = max(0.2, np.linalg.norm(quad[0] - quad[1]) / ID1[0])
    s = [int(np.clip(np.ceil(px * mm / N / 2), 1, 5)) for mm in (length, 2 * ACROSS)]
    u = (np.arange(N * s[0]) + 0.5) * length / (N * s[0])
    v = (np.arange(N * s[1]) + 0.5) * 2 * ACROSS / (N * s[1]) - ACROSS
    uu, vv = np.meshgrid(u, v)
    P = start[:, None, None] + along[:, None, None] * uu + inward[:, None, None] * vv
    w = H[2, 0] * P[0] + H[2, 1] * P[1] + H[2, 2]
    if w.min() < 0.2:
        return None
    x = ((H[0, 0] * P[0] + H[0, 1] * P[1] + H[0, 2]) / w).astype(np.float32)
    y = ((H[1, 0] * P[0] + H[1, 1] * P[1] + H[1, 2]) / w).astype(np.float32)
    h, wd = image.shape[:2]
    valid = (x >= 0) & (y >= 0) & (x <= wd - 1) & (y <= h - 1)
    valid = valid.reshape(N, s[1], N, s[0])[:, s[1] // 2, :, s[0] // 2]
    if valid.mean() < 0.7:
        return None
    c = cv2.remap(image, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE).astype(np.float32)
    c = c.reshape(N, s[1], N, s[0], 3).mean((1, 3))
    return np.clip(c + 0.5, 0, 255).astype(np.uint8), valid, (H, start, along, inward, length)


def offsets(truth, i, frame):
    """Where the true side i crosses the middles of the columns of cells."""
    H, start, along, inward, length = frame
    ends = np.float32([truth[i], truth[(i + 1) % 4]])[None]
    p = cv2.perspectiveTransform(ends, np.linalg.inv(H))[0] - start
    (u0, v0), (u1, v1) = [(q @ along, q @ inward) for q in p]
    u = (np.arange(N // 2) + 0.5) * length / (N // 2)
    return (v0 + (v1 - v0) * (u - u0) / (u1 - u0)).astype(np.float32)


def windows(rng, image, truths, many=1):
    out = []
    for t in truths:
        t = np.array(t, float)
        if np.linalg.norm(t[0] - t[1]) < np.linalg.norm(t[1] - t[2]) * 0.75:
            continue
        px = np.linalg.norm(t[0] - t[1]) / ID1[0]
        for _ in range(3 * many):
            # A hypothesis is off as a whole, at a side that sits on a shadow, and a little at each corner.
            q = t + rng.normal(0, 0.25 * px, (4, 2)) + rng.normal(0, 0.3 * px, 2)
            side = rng.integers(4)
            middle = t.mean(0)
            out_by = rng.normal(0, 1.0) * px
            normal = (t[side] + t[(side + 1) % 4]) / 2 - middle
            q[[side, (side + 1) % 4]] += out_by * normal / np.linalg.norm(normal)
            if rng.random() < 0.3:
                q = t + rng.normal(0, 0.1 * px, (4, 2))
            if rng.random() < 0.5:
                q, told = q[[2, 3, 0, 1]], t[[2, 3, 0, 1]]
            else:
                told = t
            for i in range(4):
                seen = window(image, q, i)
                if seen is None:
                    continue
                c, valid, frame = seen
                o = offsets(told, i, frame)
                if np.abs(o).max() < ACROSS - 0.3:
                    out.append((c, valid, o))
    return out


def save(path, ws):
    if ws:
        x, v, o = zip(*ws)
        np.savez(path, x=np.stack(x), v=np.stack([np.packbits(w) for w in v]), o=np.stack(o))


def main():
    a = arguments().parse_args()
    os.makedirs(a.out, exist_ok=True)
    rng = np.random.default_rng(a.seed)
    for photo in a.photos:
        told = json.load(open(photo[:-4] + ".json"))
        truth = told.get("truth") or (told["card"]["corners_px"] if "card" in told else None)
        cards = told.get("cards") or ([truth] if truth else [])
        image = cv2.imread(photo)[..., ::-1].copy()
        cards = [clockwise(card, [0] * 4)[0] for card in cards]
        save(os.path.join(a.out, os.path.basename(photo)[:-4] + ".npz"), windows(rng, image, cards, a.many))
    if a.count:
        textures = scenes.Textures(a.textures)
        scenes.Camera = Near
    for k in range(a.count):
        w, h = (1200, 900) if rng.random() < 0.7 else (900, 1200)
        image, told = scenes.scene(rng, w, h, textures, with_card=1.0)
        truths = [] if told["truth"] is None else [told["truth"]]
        save(os.path.join(a.out, f"s{a.seed}-{k:04d}.npz"), windows(rng, np.ascontiguousarray(image), truths))


if __name__ == "__main__":
    main()
