"""Writes the photos of this folder: a piece of a sample as progressive JPEG and as lossy WebP of one part and of four.

    pip install pillow webp && python make.py

The encoders are libjpeg-turbo (through Pillow) and libwebp (through its Python binding).
"""

from pathlib import Path

import webp
from webp._webp import ffi
from PIL import Image

HERE = Path(__file__).parent

piece = Image.open(HERE / "../../../samples/crab-02.jpg").convert("RGB").crop((900, 900, 1700, 1500))
piece.save(HERE / "progressive.jpg", "JPEG", quality=85, progressive=True)
picture = webp.WebPPicture.from_pil(piece)
for name, partitions in (("one-part", 0), ("four-parts", 2)):
    config = webp.WebPConfig.new(preset=webp.WebPPreset.PHOTO, quality=85)
    # The binding does not name these fields: the 3rd and the 19th of the structure (webp/encode.h). A slower method
    # writes one part only.
    fields = ffi.cast("int *", config.ptr)
    fields[2], fields[18] = 2, partitions
    (HERE / f"{name}.webp").write_bytes(picture.encode(config).buffer())
