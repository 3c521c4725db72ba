"""Makes a small sample from a large one: the photo reduced, every place and length in px of its truth with it.

    python tests/reference/smaller.py samples/crab-02 samples/crab-00 1/3 85

Arguments: the large sample and the small one (without .jpg or .json), the scale, the JPEG quality. Needs Pillow (Lanczos
filter); what the camera wrote into the photo is kept. The centre of the first pixel is at (0, 0), so a place x goes to
(x + 0.5) * scale - 0.5.
"""

import json
import sys
from fractions import Fraction

from PIL import ExifTags, Image


def place(x, scale):
    return round((x + 0.5) * scale - 0.5, 3)


def scaled(key, value, scale):
    """The truth with what is in px scaled; a place has two numbers, a length one."""
    if isinstance(value, dict):
        return {name: scaled(name, one, scale) for name, one in value.items()}
    if key in ("cx", "cy"):
        return place(value, scale)
    if key in ("focal_px", "motion_blur_px"):
        return round(value * scale, 4)
    if key.endswith("_px") and isinstance(value, list):
        if value and isinstance(value[0], list):
            return [scaled(key, one, scale) for one in value]
        return [place(x, scale) for x in value]
    return value


def main():
    source, target, scale, quality = sys.argv[1], sys.argv[2], float(Fraction(sys.argv[3])), int(sys.argv[4])
    photo = Image.open(f"{source}.jpg")
    exif = photo.getexif()
    camera = exif.get_ifd(ExifTags.IFD.Exif)
    size = [round(length * scale) for length in photo.size]
    assert all(abs(a - b * scale) < 0.01 for a, b in zip(size, photo.size)), "the scale leaves a part of a pixel"
    # A camera of this size: else the photo tells that it was resized, and its focal length is doubted.
    for tag, length in zip((ExifTags.Base.ExifImageWidth, ExifTags.Base.ExifImageHeight), size):
        if tag in camera:
            camera[tag] = length
    photo.resize(size, Image.Resampling.LANCZOS).save(f"{target}.jpg", quality=quality, exif=exif, optimize=True)
    with open(f"{source}.json") as file:
        truth = json.load(file)
    upright = [round(length * scale) for length in truth["size_px"]]
    truth = scaled("", truth, scale)
    truth["size_px"] = upright
    truth["photo"] = target.split("/")[-1] + ".jpg"
    truth["made_from"] = f"{source.split('/')[-1]}.jpg, times {sys.argv[3]}, JPEG quality {quality}"
    truth["exif"]["jpeg_quality"] = quality
    if truth["exif"]["pixel_size"]:
        truth["exif"]["pixel_size"] = size
    with open(f"{target}.json", "w") as file:
        json.dump(truth, file, indent=1)
        file.write("\n")


main()
