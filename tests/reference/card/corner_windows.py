"""Windows at corners of hypotheses: material for src/card/look/corners.net.

  python3 corner_windows.py OUT --count 1500 --seed 11 --textures SURFACES...
  python3 corner_windows.py OUT --photos PHOTOS/*.jpg --many 3
  cargo xtask candidates --looked PHOTOS/*.jpg > finds.txt
  python3 corner_windows.py OUT --finds finds.txt

writes OUT/NAME.npz: the windows (x), which of their pixels lie within the photo (v), the share of each cell that is
a card's face (y), and whether the corner is a card's, just there (l: 1, 0, or -1 where nobody can tell). Drawn scenes
come from scenes.py with the card near by. Needs numpy and opencv-python-headless.
"""
import argparse
import glob
import json
import os

import cv2
import numpy as np

import scenes

cv2.setNumThreads(1)
ID1 = (85.60, 53.98)
N, MM, FROM = 64, 20.0, -8.0  # as in src/card/look/corners.rs
AMBIG = {'playing', 'bridge', 'label', 'tile', 'phone', 'phone2'}

class Near(scenes.Camera):
    def __init__(self, rng, W, H, most_tilt=42):
        super().__init__(rng, W, H, most_tilt)
        share = np.exp(rng.uniform(np.log(0.14), np.log(0.6)))
        self.d = self.f * ID1[0] / (share * W)
        self.t = np.array([0, 0, self.d])

CARD = np.float32([[0, 0], [ID1[0], 0], [ID1[0], ID1[1]], [0, ID1[1]]])

def dirs(i):
    a = CARD[(i + 1) % 4] - CARD[i]; b = CARD[(i + 3) % 4] - CARD[i]
    return a / np.linalg.norm(a), b / np.linalg.norm(b)

def window(image, quad, i, shift=(0.0, 0.0)):
    """Window at corner i of the hypothesis; shift in mm moves the window's corner along its two sides."""
    if not np.isfinite(quad).all(): return None
    Hm = cv2.getPerspectiveTransform(CARD, np.float32(quad))
    d1, d2 = dirs(i)
    px = max(0.2, np.linalg.norm(quad[0] - quad[1]) / ID1[0])
    s = int(np.clip(np.ceil(px * MM / N / 2), 1, 5))
    n = N * s
    u = FROM + (np.arange(n) + 0.5) * MM / n
    uu, vv = np.meshgrid(u + shift[0], u + shift[1])
    P = CARD[i][:, None, None] + d1[:, None, None] * uu + d2[:, None, None] * vv
    w = Hm[2, 0] * P[0] + Hm[2, 1] * P[1] + Hm[2, 2]
    if w.min() < 0.2: return None
    x = ((Hm[0, 0] * P[0] + Hm[0, 1] * P[1] + Hm[0, 2]) / w).astype(np.float32)
    y = ((Hm[1, 0] * P[0] + Hm[1, 1] * P[1] + Hm[1, 2]) / w).astype(np.float32)
    h, wd = image.shape[:2]
    valid = (x >= 0) & (y >= 0) & (x <= wd - 1) & (y <= h - 1)
    valid = valid.reshape(N, s, N, s)[:, s // 2, :, s // 2]
    if valid.mean() < 0.5: return None
    c = cv2.remap(image, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE).astype(np.float32)
    c = c.reshape(N, s, N, s, 3).mean((1, 3))
    return np.clip(c + 0.5, 0, 255).astype(np.uint8), valid, (Hm, d1, d2)

def mask_of(truths, Hm, i, shift):
    """Coverage of the cards' faces on N/2 cells."""
    d1, d2 = dirs(i)
    m = np.zeros((N * 2, N * 2), np.uint8)
    r = 3.18
    for t in truths:
        G = cv2.getPerspectiveTransform(CARD, np.float32(t))
        pts = []
        for cx, cy, a0 in ((r, r, 180), (ID1[0] - r, r, 270), (ID1[0] - r, ID1[1] - r, 0), (r, ID1[1] - r, 90)):
            for a in np.deg2rad(a0 + np.arange(0, 91, 10)):
                pts.append([cx + r * np.cos(a), cy + r * np.sin(a)])
        p = cv2.perspectiveTransform(np.float32(pts)[None], np.linalg.inv(Hm) @ G)[0] - CARD[i]
        uv = np.stack([p @ d1 - shift[0], p @ d2 - shift[1]], 1)
        k = (uv - FROM) / MM * (2 * N) - 0.5
        if np.abs(k).max() < 30000: cv2.fillPoly(m, [np.round(k * 16).astype(np.int32)], 255, shift=4)
    return cv2.resize(m, (N // 2, N // 2), interpolation=cv2.INTER_AREA)

def windows(rng, image, truths, others, many=1, hidden=()):
    """`hidden`: for each card, which of its corners something lies on: nobody can tell whether it is just there."""
    out = []
    def add(quad, i, shift, label):
        s = window(image, quad, i, shift)
        if s is None: return
        c, valid, (Hm, _, _) = s
        out.append((c, valid, mask_of(truths, Hm, i, shift), label))
    for k, t in enumerate(truths):
        t = np.array(t, float)
        px = np.linalg.norm(t[0] - t[1]) / ID1[0]
        for i in range(4):
            told = -1 if k < len(hidden) and hidden[k][i] else 1
            for _ in range(2 * many):
                q = t + rng.normal(0, 0.25 * px, (4, 2)) * (np.arange(4) != i)[:, None]
                add(q, i, rng.normal(0, 0.15, 2), told)
            for _ in range(2 * many):
                q = t + rng.normal(0, 0.5 * px, (4, 2)) * (np.arange(4) != i)[:, None]
                far = np.exp(rng.uniform(np.log(0.9), np.log(14 if rng.random() < 0.5 else 3))) * rng.choice([-1, 1])
                s = rng.normal(0, 0.2, 2)
                way = rng.integers(3)
                if way < 2: s[way] += far
                else: s += [far, far * rng.choice([-1, 1]) * rng.uniform(0.3, 1)]
                add(q, i, s, 0)
            if rng.random() < 0.5 * many:  # a hypothesis of another size, or turned
                q = t.mean(0) + (t - t.mean(0)) * np.exp(rng.normal(0, 0.2))
                add(q, i, rng.normal(0, 2, 2), 0 if np.linalg.norm(q[i] - t[i]) > 2.5 * px else -1)
    for name, q in others:
        q = np.array(q, float)
        if not np.isfinite(q).all() or np.linalg.norm(q[0] - q[1]) < 50: continue
        for i in rng.permutation(4)[:3]:
            near = any(np.linalg.norm(q[i] - np.array(t), axis=1).min() < 1.0 * np.linalg.norm(t[0] - t[1]) / ID1[0] for t in truths)
            qq = q if np.linalg.norm(q[0] - q[1]) >= np.linalg.norm(q[1] - q[2]) else q[[1, 2, 3, 0]]
            add(qq, i, rng.normal(0, 0.2, 2), -1 if near or name in AMBIG else 0)
    h, w = image.shape[:2]
    for _ in range(4 * many):
        a, r = rng.uniform(0, 2 * np.pi), np.exp(rng.uniform(np.log(0.06), np.log(0.3))) * w
        b = np.array([[-1, -0.63], [1, -0.63], [1, 0.63], [-1, 0.63]]) * r
        quad = b @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]).T + rng.uniform(0, 1, 2) * [w, h] + rng.normal(0, 0.08, (4, 2)) * r
        i = rng.integers(4)
        if any(np.linalg.norm(quad[i] - np.array(t), axis=1).min() < 3 * np.linalg.norm(t[0] - t[1]) / ID1[0] for t in truths): continue
        add(quad, i, (0, 0), 0)
    return out

def save(path, ws):
    if not ws: return
    np.savez(path, x=np.stack([w[0] for w in ws]), v=np.stack([np.packbits(w[1]) for w in ws]), y=np.stack([w[2] for w in ws]), l=np.array([w[3] for w in ws], np.int8))

def clockwise(t, hidden):
    t = np.array(t, float)
    a = sum(t[i][0] * t[(i + 1) % 4][1] - t[(i + 1) % 4][0] * t[i][1] for i in range(4))
    return (t[::-1], hidden[::-1]) if a < 0 else (t, hidden)

def told_of(photo):
    """The cards that a photo shows, clockwise, which of their corners are hidden, and the other things."""
    beside = photo[:-4] + ".json"
    d = json.load(open(beside)) if os.path.exists(beside) else {}
    truth = d.get("truth") or (d["card"]["corners_px"] if "card" in d else None)
    covered = d.get("covered") or d.get("card", {}).get("corner_covered") or [0] * 4
    cards = d.get("cards") or ([truth] if truth else [])
    told = [clockwise(card, [share > 0.6 for share in covered]) for card in cards]
    others = [o if isinstance(o, list) else (o["kind"], o["quad"]) for o in d.get("others", [])]
    cards, hidden = [card for card, _ in told], [these for _, these in told]
    cards += [np.array(quad) for kind, quad in others if kind == "id1"]
    return cards, hidden, [(kind, quad) for kind, quad in others if kind != "id1"]


def listed(paths, most=25):
    """Photos and the quadrangles that `cargo xtask candidates`, with or without --looked, takes for cards there."""
    photo, quads = None, []
    for line in [line for path in paths for line in open(path)] + ["PHOTO end"]:
        word, *rest = line.split()
        if word in ("CANDIDATE", "LOOKED"):
            values = [float(v) for v in rest]
            quads.append(np.array(values[1:9] if word == "CANDIDATE" else values[:8]).reshape(4, 2))
        elif word == "PHOTO":
            if photo and quads:
                yield photo, quads[:most]
            photo, quads = rest[0], []


def of_finds(path, rng):
    """The corners of what the finder takes for a card: right ones, near misses and others. Where a playing card is like a
    bank card's corner, or the quadrangle is another card's at that corner, nobody can tell."""
    for photo, quads in listed([path]):
        image = cv2.imread(photo)[..., ::-1].copy()
        cards, hidden, others = told_of(photo)
        out = []
        for quad in quads:
            px = np.linalg.norm(quad[0] - quad[1]) / ID1[0]
            for i in rng.permutation(4)[:4 if cards else 3]:
                shift = rng.normal(0, 0.15 if cards else 0.2, 2)
                seen = window(image, quad, i, shift)
                if not seen:
                    continue
                label = 0
                for k, card in enumerate(cards):
                    off = np.linalg.norm(quad[:, None] - card, axis=2) / px
                    j = off[i].argmin()
                    if off[i, j] < 0.5:
                        right = off.min(1).max() < 2.5 and not (k < len(hidden) and hidden[k][j])
                        label = 1 if right else -1
                    elif off[i, j] < 0.9:
                        label = -1
                for kind, other in others:
                    if kind in AMBIG and np.linalg.norm(np.array(other) - quad[i], axis=1).min() < 2 * px:
                        label = -1
                out.append((seen[0], seen[1], mask_of(cards, seen[2][0], i, shift), label))
        yield photo, out


def arguments():
    """What every maker of windows is told."""
    p = argparse.ArgumentParser()
    p.add_argument("out")
    p.add_argument("--count", type=int, default=0)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--textures", nargs="*", default=[])
    p.add_argument("--photos", nargs="*", default=[])
    p.add_argument("--many", type=int, default=1)
    return p


def main():
    p = arguments()
    p.add_argument("--finds")
    a = p.parse_args()
    os.makedirs(a.out, exist_ok=True)
    rng = np.random.default_rng(a.seed)
    name = lambda photo: os.path.join(a.out, os.path.basename(photo)[:-4] + ".npz")
    for photo in a.photos:
        image = cv2.imread(photo)[..., ::-1].copy()
        cards, hidden, others = told_of(photo)
        save(name(photo), windows(rng, image, cards, others, a.many, hidden))
    if a.finds:
        for photo, out in of_finds(a.finds, rng):
            save(name(photo), out)
    textures = scenes.Textures(a.textures)
    scenes.Camera = Near
    for k in range(a.count):
        w, h = (1200, 900) if rng.random() < 0.7 else (900, 1200)
        image, told = scenes.scene(rng, w, h, textures, with_card=0.9)
        truths = [] if told["truth"] is None else [told["truth"]]
        out = windows(rng, np.ascontiguousarray(image), truths, told["others"], a.many)
        save(os.path.join(a.out, f"s{a.seed}-{k:04d}.npz"), out)


if __name__ == "__main__":
    main()
