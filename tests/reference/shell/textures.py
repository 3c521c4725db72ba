"""Natural texture to paint shells and grounds with: crops of pictures without crabs.

  python3 textures.py FOLDER... --out NAME.pkl [--count N]

Folders hold pictures (JPEG, PNG), also within zipped packs. The networks of src/shell were trained with 2200 crops from Debian 12's
packages supertuxkart-data, nexuiz-textures, torcs-data, plasma-workspace-wallpapers, mate-backgrounds, openarena-data,
openarena-085-data, trigger-rally-data, warzone2100-data and gimp-data, unpacked with dpkg -x: all of Debian's main section. Needs
numpy and opencv.
"""
import argparse
import os
import pickle
import random
import zipfile

import cv2
import numpy as np

SIDE = 160
PICTURES, PACKS = (".jpg", ".jpeg", ".png"), (".pk3", ".wz", ".zip")
# Signs, drawings of heights and directions, and pictures for a program's own screens are no surfaces.
NO_SURFACE = ("icon", "normal", "_nm", "font", "gloss", "_spec", "screenshot", "/gui/", "cursor", "logo", "alpha", "bump", "lightmap",
              "levelshots", "hud", "menu", "skybox_", "particle", "/gfx/", "_glow", "_luma")


def pictures(root):
    """(name, function that reads it) of every picture under `root`."""
    for folder, _, files in os.walk(root):
        for name in files:
            path = os.path.join(folder, name)
            if path.lower().endswith(PICTURES):
                yield path, lambda path=path: open(path, "rb").read()
            elif path.lower().endswith(PACKS):
                pack = zipfile.ZipFile(path)
                for inner in pack.namelist():
                    if inner.lower().endswith(PICTURES):
                        yield path + ":" + inner, lambda pack=pack, inner=inner: pack.read(inner)


def opened(read):
    """BGR, or None for what cannot be shown whole."""
    image = cv2.imdecode(np.frombuffer(read(), np.uint8), cv2.IMREAD_UNCHANGED)
    if image is None or min(image.shape[:2]) < 128:
        return None
    if image.dtype != np.uint8:
        image = (image / 257).astype(np.uint8)
    if image.ndim == 2:
        return cv2.cvtColor(image, cv2.COLOR_GRAY2BGR)
    if image.shape[2] == 4 and (image[..., 3] < 250).mean() > 0.02:
        return None
    return image[..., :3]


def crops(image, most, rng):
    """Squares with detail everywhere."""
    h, w = image.shape[:2]
    found = []
    for _ in range(most * 3):
        size = int(rng.uniform(0.35, 1.0) * min(h, w))
        if size < 120 or len(found) >= most:
            continue
        y, x = rng.randint(0, h - size), rng.randint(0, w - size)
        square = cv2.resize(image[y : y + size, x : x + size], (SIDE, SIDE), interpolation=cv2.INTER_AREA)
        grey = square.astype(np.float32).mean(2)
        spread = grey.reshape(5, 32, 5, 32).std((1, 3))
        if grey.std() >= 9 and np.median(spread) >= 4 and (spread < 1).mean() <= 0.1:
            found.append(square)
    return found


def main():
    p = argparse.ArgumentParser()
    p.add_argument("folders", nargs="+")
    p.add_argument("--out", required=True)
    p.add_argument("--count", type=int, default=2200)
    a = p.parse_args()
    rng, found = random.Random(1), []
    for root in a.folders:
        here, share = [], 2 * a.count // len(a.folders)
        named = sorted(pictures(root), key=lambda entry: entry[0])
        rng.shuffle(named)
        for name, read in named:
            if any(word in name.lower() for word in NO_SURFACE):
                continue
            image = opened(read)
            if image is not None:
                # A photograph is larger than a game's surface and gives more crops.
                here += crops(image, 12 if max(image.shape[:2]) > 1500 else 2, rng)
            if len(here) >= share:
                break
        found += here
    rng.shuffle(found)
    found = found[: a.count]
    encoded = [cv2.imencode(".webp", crop, [cv2.IMWRITE_WEBP_QUALITY, 72])[1].tobytes() for crop in found]
    with open(a.out, "wb") as file:
        pickle.dump(encoded, file)
    print(len(encoded), "crops,", sum(map(len, encoded)) / 1e6, "MB")


if __name__ == "__main__":
    main()
