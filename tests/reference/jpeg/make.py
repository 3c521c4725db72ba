"""Writes the small JPEGs of this folder: one picture in every way that JPEG codes colours and data.

    pip install pillow imagecodecs numpy && python make.py

The picture has four flat fields, left to right and top to bottom: QUADRANTS. The encoders are libjpeg-turbo
(through Pillow and imagecodecs); the file of three scans is put together here from three grey ones.
"""

import io
import struct
from pathlib import Path

import imagecodecs
import numpy as np
from PIL import Image

HERE = Path(__file__).parent
QUADRANTS = [(200, 40, 60), (30, 160, 80), (50, 70, 190), (180, 180, 180)]
WIDTH, HEIGHT = 176, 168


def picture():
    """The four fields."""
    pixels = np.zeros((HEIGHT, WIDTH, 3), np.uint8)
    for i, colour in enumerate(QUADRANTS):
        top, left = i // 2 * HEIGHT // 2, i % 2 * WIDTH // 2
        pixels[top : top + HEIGHT // 2, left : left + WIDTH // 2] = colour
    return Image.fromarray(pixels)


def coded(image, **how):
    """As JPEG."""
    out = io.BytesIO()
    image.save(out, "JPEG", quality=90, **how)
    return out.getvalue()


def segments(jpeg):
    """(marker, payload) of each header segment, and what follows the first scan header."""
    found, at = [], 2
    while True:
        length = struct.unpack(">H", jpeg[at + 2 : at + 4])[0]
        found.append((jpeg[at + 1], jpeg[at + 4 : at + 2 + length]))
        at += 2 + length
        if found[-1][0] == 0xDA:
            return found, jpeg[at:-2]


def segment(marker, payload):
    """A marker segment."""
    return bytes([0xFF, marker]) + struct.pack(">H", len(payload) + 2) + payload


def three_scans(image):
    """Sequential, each channel in a scan of its own, the colours at half the size across."""
    luma, blue, red = image.convert("YCbCr").split()
    half = (WIDTH // 2, HEIGHT)
    planes = [luma, blue.resize(half, Image.BOX), red.resize(half, Image.BOX)]
    out, scans = b"\xff\xd8", b""
    frame = struct.pack(">BHHB", 8, HEIGHT, WIDTH, 3)
    for i, plane in enumerate(planes):
        found, data = segments(coded(plane))
        for marker, payload in found:
            if marker == 0xDB and i == 0:
                out += segment(marker, payload)
            elif marker == 0xC4:
                scans += segment(marker, payload)
        frame += bytes([i + 1, 0x21 if i == 0 else 0x11, 0])
        scans += segment(0xDA, bytes([1, i + 1, 0x00, 0, 63, 0])) + data
    return out + segment(0xC0, frame) + scans + b"\xff\xd9"


def main():
    """All of them."""
    image = picture()
    # Adobe's convention: inks are stored the other way round. Pillow does so by itself.
    inks = 255 - np.asarray(image.convert("CMYK"))
    ycck = imagecodecs.jpeg8_encode(inks, 90, colorspace="CMYK", outcolorspace="YCCK")
    rgb = coded(image, keep_rgb=True)
    files = {
        "420": coded(image, subsampling="4:2:0"),
        "422": coded(image, subsampling="4:2:2"),
        "444": coded(image, subsampling="4:4:4"),
        "grey": coded(image.convert("L")),
        "progressive": coded(image, progressive=True),
        "progressive-grey": coded(image.convert("L"), progressive=True),
        "restarts": coded(image, subsampling="4:2:0", restart_marker_blocks=3),
        "three-scans": three_scans(image),
        "rgb": rgb,
        # The same without the channels' names: only Adobe's mark tells.
        "rgb-by-mark": rgb.replace(b"R\x11\x00G\x11\x00B\x11\x00", b"\x01\x11\x00\x02\x11\x00\x03\x11\x00").replace(
            b"\x03R\x00G\x00B\x00", b"\x03\x01\x00\x02\x00\x03\x00"
        ),
        "cmyk": coded(image.convert("CMYK")),
        "ycck": ycck,
    }
    for name, data in files.items():
        (HERE / f"{name}.jpg").write_bytes(data)
        seen = Image.open(io.BytesIO(data)).convert("RGB")
        print(name, len(data), [seen.getpixel((WIDTH * (1 + i % 2 * 2) // 4, HEIGHT * (1 + i // 2 * 2) // 4)) for i in range(4)])


if __name__ == "__main__":
    main()
