"""Photos with truth, changed: the card taken out, and another card or another plate laid in its place.

  python3 pasted.py OUT PHOTOS/*.jpg --seed 5 --textures SURFACES...

writes for each NAME.jpg with NAME.json beside it OUT/NAME-none.jpg (deck over the card: no card) and OUT/NAME-laid.jpg
(in its place, in its pose: in 2 of 5 an ID-1 card with another print, else a plate with other corners or other
sides), each with a NAME.json of the same camera, `truth` and `others`. Where the deck beside the card has no room to
be copied from, the photo is left out. Needs numpy and opencv-python-headless.

Sizes: ISO/IEC 7810 (ID-1, radius 2.88 to 3.48 mm); playing cards, business cards and plates: common practice.
"""
import argparse
import json
import os

import cv2
import numpy as np

import scenes

cv2.setNumThreads(1)
ID1 = np.array([85.60, 53.98])


def kinds(rng):
    """Name, size in mm, corner radius in mm."""
    like = ID1 * np.exp(rng.normal(0, 0.05)) * [1, np.exp(rng.normal(0, 0.03))]
    return [
        ("sharp plate", like, rng.uniform(0, 0.8)),
        ("plate", like, rng.uniform(0.8, 2.1)),
        ("round plate", like, rng.uniform(5.0, 9.0)),
        ("business", np.array([85.0, 55.0]), 0.0),
        ("business2", np.array([88.9, 50.8]), 0.0),
        ("playing", np.array([88.0, 63.0]), rng.uniform(3.0, 4.0)),
        ("bridge", np.array([88.9, 57.15]), rng.uniform(3.0, 4.0)),
        ("note", np.array([105.0, 74.0]), 0.0),
    ][rng.integers(8)]


def corners_of(size):
    w, h = np.array(size) / 2
    return np.float32([[-w, h], [w, h], [w, -h], [-w, -h]])


def bare(rng, image, to_px):
    """The photo with deck from beside the card copied over it; None where there is no room."""
    h, w = image.shape[:2]
    quad = lambda grow: cv2.perspectiveTransform(corners_of(ID1 + grow)[None], to_px)[0]
    mask = np.zeros((h, w), np.uint8)
    cv2.fillPoly(mask, [np.round(quad(14)).astype(np.int32)], 255)
    ys, xs = np.nonzero(mask)
    if not len(xs):
        return None
    near = cv2.dilate(mask, np.ones((3, 3), np.uint8))
    long = np.linalg.norm(quad(0)[0] - quad(0)[1])
    for _ in range(60):
        a, r = rng.uniform(0, 2 * np.pi), long * rng.uniform(0.75, 2.2)
        dx, dy = int(r * np.cos(a)), int(r * np.sin(a))
        x, y = xs + dx, ys + dy
        if x.min() < 0 or y.min() < 0 or x.max() >= w or y.max() >= h or near[y, x].any():
            continue
        moved = image.copy()
        moved[ys, xs] = image[y, x]
        ring = near.astype(bool) & ~mask.astype(bool)
        if ring.any():  # the light where the card lies, not where the deck was copied from
            k = image[ring].mean(0) / (moved[ys, xs].mean(0) + 1)
            moved[ys, xs] = np.clip(moved[ys, xs] * np.clip(k, 0.5, 2), 0, 255).astype(np.uint8)
        return moved
    return None


def laid(rng, deck, photo, to_px, textures):
    """The deck with a thing in the card's place: picture, kind, its quadrangle in px."""
    h, w = deck.shape[:2]
    is_card = rng.random() < 0.4
    kind, size, radius = ("id1", ID1, rng.uniform(2.88, 3.48)) if is_card else kinds(rng)
    quad = cv2.perspectiveTransform(corners_of(size)[None], to_px)[0]
    px_mm = np.linalg.norm(quad[0] - quad[1]) / size[0]
    fine = 2
    if rng.random() < 0.5:  # the card's own print, its corners filled
        inner = cv2.perspectiveTransform(corners_of(ID1 - 2.4)[None], to_px)[0]
        n = (int(size[0] * px_mm * 1.3), int(size[1] * px_mm * 1.3))
        M = cv2.getPerspectiveTransform(np.float32([[0, 0], [n[0] - 1, 0], [n[0] - 1, n[1] - 1], [0, n[1] - 1]]), np.float32(inner))
        face = cv2.warpPerspective(photo, M, n, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP).astype(np.float32)
    else:
        face = scenes.face(rng, size, textures, float(np.clip(1.5 * px_mm, 1, 8)), plain=0.25) * 255
        face = face * np.exp(rng.normal(-0.15, 0.2)) * np.exp(rng.normal(0, 0.05, 3))
    big = np.array([[fine, 0, (fine - 1) / 2], [0, fine, (fine - 1) / 2], [0, 0, 1]])
    fh, fw = face.shape[:2]
    M = big @ cv2.getPerspectiveTransform(np.float32([[-0.5, -0.5], [fw - 0.5, -0.5], [fw - 0.5, fh - 0.5], [-0.5, fh - 0.5]]), np.float32(quad))
    warped = cv2.warpPerspective(np.clip(face, 0, 255).astype(np.float32), M, (w * fine, h * fine), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    outline = scenes.Thing(size, radius, 0, (0, 0), 0).outline(0, 10)[:, :2]
    points = cv2.perspectiveTransform(np.float32(outline)[None], big @ to_px)[0]
    mask = np.zeros((h * fine, w * fine), np.float32)
    scenes.poly(mask, points)
    small = lambda x: cv2.resize(x, (w, h), interpolation=cv2.INTER_AREA)
    blur = rng.uniform(0.35, 0.7) * fine
    cover = cv2.GaussianBlur(mask, (0, 0), blur)
    a = rng.uniform(0, 2 * np.pi)
    far = rng.uniform(0.0, 1.4) * px_mm * fine
    shadow = cv2.warpAffine(mask, np.float32([[1, 0, far * np.cos(a)], [0, 1, far * np.sin(a)]]), (w * fine, h * fine))
    shadow = cv2.GaussianBlur(shadow, (0, 0), max(0.5, rng.uniform(0.1, 0.6) * px_mm * fine)) * rng.uniform(0.1, 0.7)
    under = deck.astype(np.float32) * (1 - small(shadow))[..., None]
    c, face_px = small(cover)[..., None], small(cv2.GaussianBlur(warped, (0, 0), blur))
    out = under * (1 - c) + face_px * c
    grain = rng.normal(0, rng.uniform(0.5, 3), out.shape) * c
    return np.clip(out + grain, 0, 255).astype(np.uint8), kind, quad


def main():
    p = argparse.ArgumentParser()
    p.add_argument("out")
    p.add_argument("photos", nargs="+")
    p.add_argument("--seed", type=int, default=5)
    p.add_argument("--textures", nargs="*", default=[])
    p.add_argument("--no-cards", action="store_true", help="lay only plates")
    a = p.parse_args()
    os.makedirs(a.out, exist_ok=True)
    rng, textures = np.random.default_rng(a.seed), scenes.Textures(a.textures)
    for path in a.photos:
        told = json.load(open(path[:-4] + ".json"))
        photo = cv2.imread(path)[..., ::-1]
        quad = np.float32(told["card"]["corners_px"])
        to_px = cv2.getPerspectiveTransform(corners_of(ID1), quad).astype(np.float64)
        deck = bare(rng, photo, to_px)
        if deck is None:
            continue
        kept = {k: told[k] for k in ("camera", "size_px", "crop_of") if k in told}
        name = os.path.join(a.out, os.path.basename(path)[:-4])

        def write(end, image, truth, others):
            cv2.imwrite(name + end + ".jpg", image[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(75, 96))])
            json.dump(dict(kept, truth=truth, others=others), open(name + end + ".json", "w"))

        write("-none", deck, None, [])
        image, kind, quad = laid(rng, deck, photo, to_px, textures)
        while a.no_cards and kind == "id1":
            image, kind, quad = laid(rng, deck, photo, to_px, textures)
        quad = quad.tolist()
        write("-laid", image, quad if kind == "id1" else None, [] if kind == "id1" else [[kind, quad]])


if __name__ == "__main__":
    main()
