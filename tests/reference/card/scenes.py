"""Pictures of flat things on a deck, with the place of the ID-1 card: material for src/card/look/face.net.

  python3 scenes.py OUT --count 1300 --seed 1 [--size 1280 960] [--textures FOLDER...]

writes OUT/NAME.jpg with NAME.json: `truth` (the face's four virtual corners in px, or null) and `others` (named
quadrangles of things that are no card). Needs numpy and opencv-python-headless.

Everything is drawn at random: a ground (given textures or drawn ones), a card of any print lying on it, on a
block or partly covered, and things that are not a card (notes, playing cards, phones, receipts, planks,
boxes, business cards). Sizes of the things: ISO/IEC 7810 (ID-1), ISO 216 (A6, A7), common practice.
"""
import argparse
import glob
import json
import os

import cv2
import numpy as np

ID1 = np.array([85.60, 53.98])


def smooth_field(rng, w, h, cells, amp):
    c = max(2, cells)
    g = rng.normal(0, amp, (c, c)).astype(np.float32)
    return cv2.resize(g, (w, h), interpolation=cv2.INTER_CUBIC)


def colour(rng, dull=0.5):
    if rng.random() < dull:
        v = rng.uniform(0.02, 0.95)
        return np.clip(v * np.exp(rng.normal(0, 0.12, 3)), 0, 1)
    hsv = np.array([[[rng.uniform(0, 180), rng.uniform(60, 255), rng.uniform(30, 255)]]], np.uint8)
    return cv2.cvtColor(hsv, cv2.COLOR_HSV2RGB)[0, 0].astype(float) / 255


class Textures:
    def __init__(self, folders, size=1400):
        self.paths = sorted(p for f in folders for p in glob.glob(os.path.join(f, "*.jpg")))
        self.size, self.cache = size, {}

    def get(self, rng):
        if not self.paths:
            return None
        p = self.paths[rng.integers(len(self.paths))]
        if p not in self.cache:
            im = cv2.imread(p)
            if im is None:
                return None
            k = self.size / max(im.shape[:2])
            if k < 1:
                im = cv2.resize(im, None, fx=k, fy=k, interpolation=cv2.INTER_AREA)
            self.cache[p] = im[..., ::-1].copy()
        return self.cache[p].astype(np.float32) / 255


def drawn_ground(rng, n=1024):
    kind = rng.integers(7)
    base = colour(rng, 0.88)
    img = np.ones((n, n, 3), np.float32) * base
    if kind == 0:  # planks
        k = rng.integers(4, 16)
        edges = np.linspace(0, n, k + 1).astype(int)
        gap = colour(rng, 0.9) * 0.3
        for a, b in zip(edges[:-1], edges[1:]):
            img[:, a:b] *= np.exp(rng.normal(0, 0.15))
            grain = rng.normal(0, 1, (1, b - a)).astype(np.float32)
            grain = cv2.GaussianBlur(grain, (0, 0), rng.uniform(0.6, 4))
            wob = cv2.resize(grain.repeat(8, 0) + rng.normal(0, 0.2, (8, b - a)).astype(np.float32), (b - a, n))
            img[:, a:b] *= np.exp(0.15 * wob / (wob.std() + 1e-6) * rng.uniform(0.2, 1))[..., None]
            img[:, a:a + int(rng.integers(1, 6))] = gap
    elif kind == 1:  # tiles
        k = rng.integers(3, 12)
        s = n // k
        gap = colour(rng, 0.9)
        for y in range(0, n, s):
            for x in range(0, n, int(s * (1 if rng.random() < 0.5 else 1.586))):
                img[y:y + s, x:x + s] *= np.exp(rng.normal(0, 0.08))
        img[::s] = gap
        img[:, ::s] = gap
        img = cv2.GaussianBlur(img, (0, 0), rng.uniform(0.5, 2))
    elif kind == 2:  # diamond plate, non-skid
        s = int(rng.integers(12, 50))
        for y in range(0, n, s):
            for x in range(0, n, s):
                a = 45 if ((x // s + y // s) % 2) else -45
                d = rng.uniform(0.9, 1.1)
                cv2.ellipse(img, (x, y), (int(s * 0.42), max(2, int(s * 0.12))), a, 0, 360, (base * 1.3 * d).tolist(), -1, cv2.LINE_AA)
                cv2.ellipse(img, (x + 2, y + 2), (int(s * 0.42), max(2, int(s * 0.12))), a, 0, 180, (base * 0.6 * d).tolist(), 1, cv2.LINE_AA)
    elif kind == 3:  # stripes
        p = rng.uniform(8, 120)
        yy, xx = np.mgrid[:n, :n]
        s = np.sin(2 * np.pi * xx / p + rng.uniform(0, 0.02) * yy)
        img *= np.exp(0.4 * rng.uniform(0.1, 1) * np.clip(s * 4, -1, 1))[..., None].astype(np.float32)
    elif kind == 4:  # mesh, grating
        s = int(rng.integers(20, 90))
        c2 = colour(rng, 0.8)
        t = max(2, int(s * rng.uniform(0.1, 0.4)))
        for x in range(0, n, s):
            img[:, x:x + t] = c2
            img[x:x + t] = c2 * 0.9
    # speckle at several scales
    for cells in (rng.integers(4, 30), n // 4, n):
        if rng.random() < 0.8:
            f = smooth_field(rng, n, n, int(cells), rng.uniform(0.02, 0.3))
            img = img * np.exp(f)[..., None]
    if rng.random() < 0.3:  # pebbles, scratches
        for _ in range(rng.integers(20, 400)):
            p = rng.integers(0, n, 2)
            if rng.random() < 0.5:
                cv2.circle(img, tuple(int(v) for v in p), int(rng.integers(1, 12)), (colour(rng, 0.9) * 0.8).tolist(), -1, cv2.LINE_AA)
            else:
                q = p + rng.normal(0, 60, 2)
                cv2.line(img, tuple(int(v) for v in p), tuple(int(v) for v in q), (base * rng.uniform(0.5, 1.6)).tolist(), int(rng.integers(1, 4)), cv2.LINE_AA)
    return np.clip(img, 0, 1).astype(np.float32)


WORDS = "HARBOUR TIDE PASS MEMBER 0123 4567 8910 VALID 09/29 CLUB LIBRARY NORTH BAY CARD No. 77 SKIPPER".split()


def face(rng, size, textures, px_mm, plain=0.12):
    """A printed face of size mm; rgb in linear-ish 0..1."""
    w, h = max(8, int(size[0] * px_mm)), max(8, int(size[1] * px_mm))
    kind = rng.random()
    c1, c2 = colour(rng), colour(rng)
    yy, xx = np.mgrid[:h, :w].astype(np.float32)
    if kind < plain:
        img = np.ones((h, w, 3), np.float32) * c1
        if rng.random() < 0.5:
            img[:] = rng.uniform(0.75, 0.97) * np.exp(rng.normal(0, 0.02, 3))
    elif kind < 0.4:
        img = np.ones((h, w, 3), np.float32) * c1
    elif kind < 0.55:  # gradient
        a = rng.uniform(0, 2 * np.pi)
        t = (xx / w - 0.5) * np.cos(a) + (yy / h - 0.5) * np.sin(a) + 0.5
        img = c1 * (1 - t[..., None]) + c2 * t[..., None]
    elif kind < 0.65:  # split or band
        a = rng.choice([0, np.pi / 2, rng.uniform(0, np.pi)])
        t = (xx / w - rng.uniform(0.2, 0.8)) * np.cos(a) + (yy / h - rng.uniform(0.2, 0.8)) * np.sin(a)
        m = (t > 0)[..., None]
        img = c1 * m + c2 * ~m
    elif kind < 0.77:  # stripes
        a = rng.choice([0, np.pi / 2, np.pi / 4, rng.uniform(0, np.pi)])
        p = rng.uniform(2, 16) * px_mm
        t = np.sin(2 * np.pi * (xx * np.cos(a) + yy * np.sin(a)) / p + rng.uniform(0, 6))
        m = np.clip(t * rng.uniform(1, 8) + rng.normal(0, 0.5), -1, 1)[..., None] * 0.5 + 0.5
        img = c1 * m + c2 * (1 - m)
    elif kind < 0.92 and textures is not None and textures.paths:
        t = textures.get(rng)
        hh, ww = t.shape[:2]
        cw = int(rng.uniform(0.3, 1) * min(ww, hh * w / h))
        ch = max(4, int(cw * h / w))
        cw, ch = min(cw, ww - 1), min(ch, hh - 1)
        x, y = rng.integers(0, ww - cw), rng.integers(0, hh - ch)
        img = cv2.resize(t[y:y + ch, x:x + cw], (w, h), interpolation=cv2.INTER_AREA)
        if rng.random() < 0.5:
            img = img[..., rng.permutation(3)]
    else:  # guilloche, waves
        f = smooth_field(rng, w, h, int(rng.integers(3, 7)), 1.0)
        s = np.sin(f * rng.uniform(4, 25))[..., None] * 0.5 + 0.5
        img = c1 * s + c2 * (1 - s)
    img = np.ascontiguousarray(np.broadcast_to(img, (h, w, 3)).astype(np.float32))
    mm = lambda v: int(round(v * px_mm))
    if kind >= plain or rng.random() < 0.5:
        if rng.random() < 0.18:  # magnetic band
            y = mm(rng.uniform(3, 6))
            img[y:y + mm(12)] = rng.uniform(0, 0.12)
        if rng.random() < 0.3:  # frame
            i = mm(rng.uniform(1.5, 5))
            r = colour(rng)
            cv2.rectangle(img, (i, i), (w - i, h - i), r.tolist(), max(1, mm(rng.uniform(0.3, 1.5))), cv2.LINE_AA)
        if rng.random() < 0.12:  # panel
            i = mm(rng.uniform(2, 6))
            img[i:h - i, i:w - i] = colour(rng)
        for _ in range(rng.integers(0, 4)):  # logos
            c = colour(rng, 0.3)
            p = (int(rng.integers(0, w)), int(rng.integers(0, h)))
            if rng.random() < 0.5:
                cv2.circle(img, p, mm(rng.uniform(2, 20)), c.tolist(), -1, cv2.LINE_AA)
            else:
                q = np.array(p) + rng.normal(0, 12 * px_mm, (int(rng.integers(3, 6)), 2))
                cv2.fillConvexPoly(img, cv2.convexHull(q.astype(np.int32)), c.tolist(), cv2.LINE_AA)
        if rng.random() < 0.35:  # chip
            y, x = mm(rng.uniform(17, 22)), mm(rng.uniform(8, 12))
            img[y:y + mm(11), x:x + mm(12)] = [0.75, 0.62, 0.3]
        if rng.random() < 0.25:  # portrait
            y, x, a, b = mm(rng.uniform(8, 16)), mm(rng.uniform(3, 60)), mm(20), mm(27)
            img[y:y + b, x:x + a] = colour(rng)
            cv2.circle(img, (x + a // 2, y + b // 2), mm(6), [0.7, 0.5, 0.4], -1, cv2.LINE_AA)
        ink = colour(rng) if rng.random() < 0.4 else np.ones(3) * rng.choice([0.05, 0.95])
        img = (np.clip(img, 0, 1) * 255).astype(np.uint8)
        ink = (ink * 255).astype(int)
        for _ in range(rng.integers(0, 7)):
            s = rng.uniform(0.03, 0.14) * px_mm
            text = " ".join(rng.choice(WORDS, rng.integers(1, 4)))
            cv2.putText(img, text, (mm(rng.uniform(2, size[0] * 0.6)), mm(rng.uniform(5, size[1] - 2))),
                        int(rng.integers(0, 4)), s, ink.tolist(), max(1, int(s * 1.6)), cv2.LINE_AA)
        img = img.astype(np.float32) / 255
        if rng.random() < 0.1:  # bars
            y = mm(rng.uniform(30, 42))
            x = mm(5)
            while x < w * 0.6:
                b = mm(rng.uniform(0.3, 1.2)) + 1
                img[y:y + mm(8), x:x + b] = 0.05
                x += 2 * b
    if rng.random() < 0.5:
        img = img[::-1, ::-1]
    return np.clip(img, 0, 1).astype(np.float32)


def rounded(w, h, r):
    m = np.zeros((h, w), np.float32)
    r = max(0, int(round(r)))
    if r == 0:
        m[:] = 1
        return m
    cv2.rectangle(m, (r, 0), (w - 1 - r, h - 1), 1, -1)
    cv2.rectangle(m, (0, r), (w - 1, h - 1 - r), 1, -1)
    for x in (r, w - 1 - r):
        for y in (r, h - 1 - r):
            cv2.circle(m, (x, y), r, 1, -1, cv2.LINE_AA)
    return m


class Camera:
    def __init__(self, rng, W, H, most_tilt=42):
        self.W, self.H = W, H
        self.f = np.hypot(W, H) * rng.uniform(0.5, 0.85)
        if rng.random() < 0.12:
            self.f *= rng.uniform(1.2, 2.0)
        tilt = np.deg2rad(most_tilt * rng.random() ** 1.3)
        way, spin = rng.uniform(0, 2 * np.pi), rng.uniform(0, 2 * np.pi)
        flip = np.diag([1.0, -1.0, -1.0])
        axis = np.array([np.cos(way), np.sin(way), 0]) * tilt
        R = cv2.Rodrigues(axis)[0] @ flip @ cv2.Rodrigues(np.array([0, 0, spin]))[0]
        self.R = R
        # the card's long side takes 5 to 50 % of the width
        share = np.exp(rng.uniform(np.log(0.05), np.log(0.5)))
        self.d = self.f * ID1[0] / (share * W)
        self.t = np.array([0, 0, self.d])

    def project(self, p):
        p = np.atleast_2d(p) @ self.R.T + self.t
        return p[:, :2] / p[:, 2:] * self.f + [(self.W - 1) / 2, (self.H - 1) / 2]

    def plane(self, z=0.0):
        """Homography from plane mm (x, y at height z) to px."""
        K = np.array([[self.f, 0, (self.W - 1) / 2], [0, self.f, (self.H - 1) / 2], [0, 0, 1]])
        return K @ np.stack([self.R[:, 0], self.R[:, 1], self.R[:, 2] * z + self.t], 1)


class Thing:
    """A flat thing: size mm, corner radius mm, thickness mm, at (x, y), turned, its foot at height z."""

    def __init__(self, size, radius, thick, at, turn, foot=0.0):
        self.size, self.radius, self.thick, self.at, self.turn, self.foot = np.array(size), radius, thick, np.array(at), turn, foot

    def corners(self, z):
        h = self.size / 2
        c = np.array([[-h[0], h[1]], [h[0], h[1]], [h[0], -h[1]], [-h[0], -h[1]]])
        a = np.array([[np.cos(self.turn), -np.sin(self.turn)], [np.sin(self.turn), np.cos(self.turn)]])
        return np.column_stack([c @ a.T + self.at, np.full(4, z)])

    def outline(self, z, n=6):
        r, h = self.radius, self.size / 2
        if r <= 0:
            return self.corners(z)
        pts = []
        for sx, sy, a0 in ((1, 1, 0), (-1, 1, 90), (-1, -1, 180), (1, -1, 270)):
            for k in range(n + 1):
                a = np.deg2rad(a0 + 90 * k / n)
                pts.append([sx * (h[0] - r) + r * np.cos(a), sy * (h[1] - r) + r * np.sin(a)])
        c = np.array(pts)
        a = np.array([[np.cos(self.turn), -np.sin(self.turn)], [np.sin(self.turn), np.cos(self.turn)]])
        return np.column_stack([c @ a.T + self.at, np.full(len(c), z)])


def poly(mask, pts, value=1.0):
    if not np.isfinite(pts).all() or np.abs(pts).max() > 3e5:
        return
    cv2.fillPoly(mask, [np.round(pts * 16).astype(np.int32)], value, cv2.LINE_AA, 4)


def put(img, cam, thing, print_, rng, light, wall=None):
    """Draws shadow, wall and face; returns the face's mask."""
    H, W = img.shape[:2]
    top = thing.foot + thing.thick
    foot = cam.project(thing.outline(thing.foot))
    face_ = cam.project(thing.outline(top))
    # contact and cast shadow
    shadow = np.zeros((H, W), np.float32)
    off = light["way"] * (thing.thick * light["long"])
    o = thing.outline(thing.foot)
    o[:, :2] += off
    poly(shadow, cv2.convexHull(np.vstack([cam.project(o), foot]).astype(np.float32))[:, 0])
    px_mm = cam.f / cam.d
    s = max(0.4, (0.25 + 0.3 * thing.thick * light["soft"]) * px_mm)
    shadow = cv2.GaussianBlur(shadow, (0, 0), min(s, 40))
    img *= (1 - light["dark"] * shadow)[..., None]
    if thing.thick > 0:
        w = np.zeros((H, W), np.float32)
        hull = cv2.convexHull(np.vstack([foot, face_]).astype(np.float32))[:, 0]
        poly(w, hull)
        c = wall if wall is not None else colour(rng, 0.9)
        img[:] = img * (1 - w[..., None]) + w[..., None] * c * rng.uniform(0.35, 1.0)
    h, wd = print_.shape[:2]
    src = np.array([[-0.5, -0.5], [wd - 0.5, -0.5], [wd - 0.5, h - 0.5], [-0.5, h - 0.5]], np.float32)
    quad = cam.project(thing.corners(top))
    M = cv2.getPerspectiveTransform(src, quad.astype(np.float32))
    scale = np.linalg.norm(quad[1] - quad[0]) / wd
    p = print_
    if scale < 0.7:
        p = cv2.GaussianBlur(p, (0, 0), 0.35 / scale)
    warped = cv2.warpPerspective(p, M, (W, H), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    m = np.zeros((H, W), np.float32)
    poly(m, face_)
    img[:] = img * (1 - m[..., None]) + m[..., None] * warped
    return m


DISTRACTORS = [
    ("playing", (88, 63), (3.0, 4.0), 0.3), ("bridge", (88, 57), (3, 4), 0.3), ("a7", (105, 74), (0, 0), 0.1), ("a6", (148, 105), (0, 0), 0.1),
    ("square", (76, 76), (0, 0), 0.2), ("banknote", (140, 72), (0, 0), 0.1), ("banknote2", (156, 66), (0, 0), 0.1),
    ("receipt", (150, 57), (0, 0), 0.1), ("business", (85, 55), (0, 0), 0.35), ("business2", (89, 51), (0, 0), 0.35), ("phone", (150, 72), (7, 12), 8),
    ("phone2", (140, 66), (6, 10), 9), ("matchbox", (53, 36), (0, 0.5), 15), ("ruler", (200, 30), (0, 1), 1), ("plank", (600, 95), (0, 0), 20),
    ("ticket", (140, 54), (0, 0), 0.2), ("photo", (152, 102), (0, 0), 0.3), ("hatch", (200, 126), (8, 25), 3), ("tile", (100, 63), (0, 1), 6),
    ("book", (200, 130), (0, 2), 15), ("sticker", (80, 50), (0, 1), 0.05), ("label", (100, 62), (0, 6), 0.05), ("box", (120, 78), (0, 1), 30),
    ("plate", (85.6, 54), (0, 2), 1), ("plate", (80, 53), (0, 2), 1), ("round plate", (85.6, 54), (5, 9), 1),
]


def crab(img, cam, rng, at):
    """Roughly a crab: a wide body with teeth and legs, for its colours and clutter."""
    H, W = img.shape[:2]
    w = rng.uniform(90, 190)
    base = np.array([[0.45, 0.25, 0.15], [0.5, 0.12, 0.08], [0.25, 0.3, 0.2], [0.3, 0.35, 0.45]])[rng.integers(4)] * np.exp(rng.normal(0, 0.25))
    a0 = rng.uniform(0, 2 * np.pi)
    rot = np.array([[np.cos(a0), -np.sin(a0)], [np.sin(a0), np.cos(a0)]])
    def at_mm(p, z):
        p = np.atleast_2d(p) @ rot.T + at
        return cam.project(np.column_stack([p, np.full(len(p), z)]))
    px = cam.f / cam.d
    for s in (-1, 1):
        for k in range(5):
            y = w * (0.25 - 0.13 * k)
            p = np.array([[s * w * 0.4, y], [s * w * rng.uniform(0.6, 0.8), y * 1.6 + rng.normal(0, 8)], [s * w * rng.uniform(0.7, 1.1), y * 2.2 - 10]])
            q = at_mm(p, 10)
            for u, v in zip(q[:-1], q[1:]):
                if np.abs(np.concatenate([u, v])).max() < 1e5:
                    cv2.line(img, tuple(np.round(u).astype(int).tolist()), tuple(np.round(v).astype(int).tolist()), (base * rng.uniform(0.6, 1.2)).tolist(), max(1, int(px * w * (0.1 if k == 0 else 0.05))), cv2.LINE_AA)
    t = np.linspace(0, 2 * np.pi, 80)
    r = 1 + 0.03 * np.sign(np.sin(t * 22))
    body = np.column_stack([0.5 * w * np.cos(t) * r, 0.33 * w * np.sin(t) * r])
    m = np.zeros((H, W), np.float32)
    poly(m, at_mm(body, 35))
    shade = np.exp(smooth_field(rng, W, H, 24, 0.2))[..., None]
    img[:] = img * (1 - m[..., None]) + m[..., None] * base * shade


def scene(rng, W, H, textures, with_card=0.8, distract=0.6):
    """A picture (RGB, W x H) and its truth: the card's virtual corners or None, the focal length, other things."""
    cam = Camera(rng, W, H)
    px = cam.f / cam.d
    # ground
    tex = textures.get(rng) if textures is not None and rng.random() < 0.7 else None
    if tex is None:
        tex = drawn_ground(rng)
    n = max(tex.shape[:2])
    span = W / px * rng.uniform(0.5, 3.5)  # mm that the texture covers
    s = n / span
    a = rng.uniform(0, 2 * np.pi)
    T = np.array([[np.cos(a) * s, -np.sin(a) * s, tex.shape[1] / 2], [np.sin(a) * s, np.cos(a) * s, tex.shape[0] / 2], [0, 0, 1]])
    M = T @ np.linalg.inv(cam.plane())
    small = px / s
    t = cv2.GaussianBlur(tex, (0, 0), 0.4 / small) if small < 0.7 else tex
    img = cv2.warpPerspective(t, M, (W, H), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REFLECT)
    img = np.clip(img, 0, 1) ** 2.2 * np.exp(rng.normal(0, 0.3))
    if rng.random() < 0.3:
        img = img * (0.5 + colour(rng, 0.6))
    light = dict(way=(lambda b: np.array([np.cos(b), np.sin(b)]))(rng.uniform(0, 2 * np.pi)), long=rng.uniform(0, 2.5), soft=rng.uniform(0, 1), dark=rng.uniform(0.2, 0.9))
    reach = np.array([W, H]) / px / 2
    others = []

    def spot(lo=0.0, hi=1.0):
        b, r = rng.uniform(0, 2 * np.pi), rng.uniform(lo, hi)
        return np.array([np.cos(b), np.sin(b)]) * r * reach.min()

    card_at = spot(0, 0.8)
    has = rng.random() < with_card
    for _ in range(rng.poisson(distract * 1.5)):
        name, size, radius, thick = DISTRACTORS[rng.integers(len(DISTRACTORS))]
        k = rng.uniform(0.9, 1.15) if name != "plank" else rng.uniform(0.4, 1.2)
        thing = Thing(np.array(size) * k, rng.uniform(*radius) * k, thick * rng.uniform(0.6, 1.3), spot(0, 1.1), rng.uniform(0, 2 * np.pi))
        if has and np.linalg.norm(thing.at - card_at) < 0.5 * (np.linalg.norm(thing.size) + 101):
            if rng.random() < 0.7:
                continue
        p = face(rng, thing.size, textures, min(4, 1.2 * px + 0.3), plain=0.4)
        m = put(img, cam, thing, p ** 2.2 * 0.9, rng, light)
        others.append((thing, name))
    if rng.random() < 0.5:
        crab(img, cam, rng, spot(0.2, 1.0))
    truth = mask = None
    if has:
        turn, foot = rng.uniform(0, 2 * np.pi), 0.0
        under = rng.random()
        if under < 0.3:  # on a block, nearly as large or larger
            foot = rng.uniform(3, 45)
            grow = rng.uniform(0.2, 24, 2) * (1 if rng.random() < 0.7 else 0.15)
            block = Thing(ID1 + grow, rng.choice([0, 0, rng.uniform(0, 5)]), foot, card_at + rng.normal(0, 0.2, 2) * grow, turn + rng.normal(0, 0.02 if rng.random() < 0.6 else 0.2))
            bt = drawn_ground(rng, 256) if rng.random() < 0.5 else np.ones((64, 64, 3), np.float32) * colour(rng, 0.7)
            put(img, cam, block, bt ** 2.2, rng, light)
            others.append((block, "block"))
        elif under < 0.4:  # on a note or box
            size = np.array([rng.uniform(95, 220), rng.uniform(64, 160)])
            base = Thing(size, 0, rng.uniform(0.1, 3), card_at + rng.normal(0, 0.1, 2) * (size - ID1), turn + rng.choice([0, rng.normal(0, 0.3)]))
            put(img, cam, base, face(rng, size, textures, min(4, 1.2 * px + 0.3), plain=0.5) ** 2.2, rng, light)
            foot = base.thick
            others.append((base, "base"))
        card = Thing(ID1, rng.uniform(2.88, 3.48), 0.76, card_at, turn, foot)
        p = face(rng, ID1, textures, float(np.clip(1.3 * px, 1.0, 8)))
        if rng.random() < 0.25:  # the ground's own colour
            x, y = np.clip(cam.project([[*card_at, 0]])[0], 0, [W - 1, H - 1]).astype(int)
            near = img[max(0, y - 20):y + 20, max(0, x - 20):x + 20].reshape(-1, 3).mean(0) ** (1 / 2.2)
            p = p * 0.25 + near * np.exp(rng.normal(0, 0.12)) * 0.75
        mask = put(img, cam, card, np.clip(p, 0, 1) ** 2.2 * rng.uniform(0.7, 1.0), rng, light, wall=None if rng.random() < 0.4 else np.ones(3) * rng.uniform(0.5, 0.95))
        truth = cam.project(card.corners(foot + 0.76))
        if rng.random() < 0.3:  # something across an edge or a corner: finger, weed, leg, rope
            q = card.corners(foot + 0.76)[:, :2]
            i = rng.integers(4)
            e = q[i] + (q[(i + 1) % 4] - q[i]) * rng.uniform(0, 1)
            out = e - card_at
            out = out / (np.linalg.norm(out) + 1e-9)
            a_ = cam.project([[*(e - out * rng.uniform(2, 12)), foot + 3]])[0]
            b_ = cam.project([[*(e + out * rng.uniform(20, 80) + rng.normal(0, 20, 2)), foot + 3]])[0]
            c = np.array([0.6, 0.35, 0.25]) * np.exp(rng.normal(0, 0.3)) if rng.random() < 0.5 else colour(rng, 0.4)
            wide = max(1, int(px * (rng.uniform(12, 20) if rng.random() < 0.4 else rng.uniform(1.5, 10))))
            if np.abs(np.concatenate([a_, b_])).max() < 1e5:
                cv2.line(img, tuple(np.round(a_).astype(int).tolist()), tuple(np.round(b_).astype(int).tolist()), (c ** 2.2).tolist(), wide, cv2.LINE_AA)
    # light over everything
    if rng.random() < 0.6:
        img = img * np.exp(smooth_field(rng, W, H, int(rng.integers(2, 5)), rng.uniform(0.05, 0.5)))[..., None]
    for _ in range(rng.poisson(0.5)):  # cast shadows of a rail, a person
        m = np.zeros((H, W), np.float32)
        c = rng.uniform(0, 1, 2) * [W, H]
        p = c + rng.normal(0, 0.35 * W, (int(rng.integers(3, 6)), 2)) * [1, rng.uniform(0.05, 1)]
        poly(m, cv2.convexHull(p.astype(np.float32))[:, 0])
        m = cv2.GaussianBlur(m, (0, 0), max(0.5, rng.uniform(0.001, 0.02) * W))
        img = img * (1 - rng.uniform(0.2, 0.8) * m)[..., None]
    for _ in range(rng.poisson(0.3)):  # glare, wet spots
        m = np.zeros((H, W), np.float32)
        c = rng.uniform(0, 1, 2) * [W, H]
        cv2.ellipse(m, tuple(c.astype(int).tolist()), tuple((rng.uniform(0.01, 0.12, 2) * W).astype(int).tolist()), float(rng.uniform(0, 180)), 0, 360, 1.0, -1, cv2.LINE_AA)
        m = cv2.GaussianBlur(m, (0, 0), max(0.5, rng.uniform(0.003, 0.04) * W))
        img = img + rng.uniform(0.1, 1.2) * m[..., None]
    # camera
    k = W / 1600
    s = abs(rng.normal(0, 0.7)) * k + 0.3
    img = cv2.GaussianBlur(img, (0, 0), s)
    if rng.random() < 0.12:
        L = int(rng.uniform(3, 9) * k) + 1
        ker = np.zeros((L, L), np.float32)
        cv2.line(ker, (0, int(rng.integers(L))), (L - 1, int(rng.integers(L))), 1.0)
        img = cv2.filter2D(img, -1, ker / ker.sum())
    gain = rng.uniform(0.5, 0.95) / (np.percentile(img, rng.uniform(85, 99.5)) + 1e-3)
    img = img * gain * np.exp(rng.normal(0, 0.06, 3))
    img = np.clip(img, 0, 1) ** (1 / 2.2)
    if rng.random() < 0.5:  # a phone's tone curve
        img = np.clip(img + rng.uniform(0, 0.25) * (img - 0.5) * (1 - (2 * img - 1) ** 2), 0, 1)
    img = img + rng.normal(0, rng.uniform(0.002, 0.02), img.shape)
    img = (np.clip(img, 0, 1) * 255).astype(np.uint8)
    return img, dict(truth=truth, focal=cam.f, others=[(name, cam.project(t.corners(t.foot + t.thick))) for t, name in others])


def main():
    p = argparse.ArgumentParser()
    p.add_argument("out")
    p.add_argument("--count", type=int, default=1300)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--size", type=int, nargs=2, default=[1280, 960])
    p.add_argument("--textures", nargs="*", default=[], help="folders of JPEG surfaces")
    a = p.parse_args()
    os.makedirs(a.out, exist_ok=True)
    rng, textures = np.random.default_rng(a.seed), Textures(a.textures)
    for k in range(a.count):
        w, h = a.size if rng.random() < 0.75 else a.size[::-1]
        image, told = scene(rng, w, h, textures)
        name = os.path.join(a.out, f"s{a.seed:02d}-{k:04d}")
        cv2.imwrite(name + ".jpg", image[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(60, 97))])
        truth = None if told["truth"] is None else told["truth"].tolist()
        others = [(n, q.tolist()) for n, q in told["others"]]
        json.dump(dict(truth=truth, focal=told["focal"], size=[w, h], others=others), open(name + ".json", "w"))


if __name__ == "__main__":
    main()
