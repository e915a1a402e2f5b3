"""How much memory does a picture of a hundred megapixels take, read and measured, by form of file?

A rendered photo is enlarged to 100 megapixels and written in each form. Memory is the peak of a fresh process
above what it held before, in bytes a pixel (Linux only); the decoded picture of 8 bits takes 3.
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from benchmarks.footprint_speed import photo
from tameshi.readers.image import read_image

MEGAPIXELS = 100
PEAK = """
import re, sys, time
from pathlib import Path
from tameshi.footprint import measure_footprint
from tameshi.readers.image import read_image
data = Path(sys.argv[1]).read_bytes()
peak = lambda: 1024 * int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
before, started = peak(), time.perf_counter()
photo = read_image(data)
read, decoded = peak() - before, time.perf_counter() - started
area = measure_footprint(photo.pixels).contact_area
print(read, peak() - before, decoded, time.perf_counter() - started, area.value)
"""


def written(pixels: np.ndarray[tuple[int, ...], np.dtype[np.uint8]], form: str) -> bytes:
    """Return the picture as a file."""
    if form == "PNG, 16 bits":
        deep = pixels[:, :, ::-1].astype(np.uint16) * 257
        return cv2.imencode(".png", deep, [cv2.IMWRITE_PNG_COMPRESSION, 1])[1].tobytes()
    out = io.BytesIO()
    picture = Image.fromarray(pixels)
    if form == "CMYK JPEG":
        picture.convert("CMYK").save(out, "JPEG", quality=90)
    elif form == "PNG":
        picture.save(out, "PNG", compress_level=1)
    else:
        picture.save(out, form, **({"quality": 90} if form == "JPEG" else {}))
    return out.getvalue()


def row(form: str, data: bytes, pixels: int) -> str:
    """Return what one form takes."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo"
        path.write_bytes(data)
        asked = [sys.executable, "-c", PEAK, str(path)]
        out = subprocess.run(asked, check=True, capture_output=True, text=True).stdout.split()
    read, whole, decoding, seconds, area = map(float, out)
    return (
        f"{form:14} {len(data) / 1e6:6.0f} MB {read / pixels:9.1f} {whole / pixels:9.1f} "
        f"{whole / 1e6:8.0f} MB {decoding:7.1f} s {seconds:7.1f} s {1e4 * area:8.3f} cm2"
    )


def main() -> None:
    small = read_image(photo()).pixels
    factor = (MEGAPIXELS * 1e6 / (small.shape[0] * small.shape[1])) ** 0.5
    large = np.asarray(
        cv2.resize(small, None, fx=factor, fy=factor, interpolation=cv2.INTER_LINEAR), np.uint8
    )
    count = large.shape[0] * large.shape[1]
    print(f"{count / 1e6:.0f} megapixels; bytes a pixel at the peak of reading, and of reading and measuring")
    print("form             file    reading   whole      whole    reading    whole      area")
    for form in ("JPEG", "CMYK JPEG", "PNG", "TIFF", "PNG, 16 bits"):
        print(row(form, written(large, form), count), flush=True)


if __name__ == "__main__":
    main()
