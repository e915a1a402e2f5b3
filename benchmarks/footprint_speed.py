"""How long does a 12-megapixel photo take, and how much memory, beside decoding the same JPEG?

The photo is rendered first; reading and measuring it from bytes is then timed against decoding it with
the same quick decoder and with Pillow. Memory is the peak of a fresh process, above what it held before
the file was read, as a multiple of the decoded picture (Linux only).
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from tameshi.demo.photo import Camera, Finish, Light, Setting, Surface, as_jpeg, render_photo
from tameshi.demo.prints import ball_of_foot
from tameshi.footprint import measure_footprint
from tameshi.readers.image import read_image

TIMES = 7
PEAK = """
import re, sys
from pathlib import Path
from tameshi.footprint import measure_footprint
from tameshi.readers.image import read_image
data = Path(sys.argv[1]).read_bytes()
# of this process alone: getrusage would tell its parent's peak
peak = lambda: 1024 * int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
before = peak()
photo = read_image(data)
measure_footprint(photo.pixels)
print((peak() - before) / photo.pixels.nbytes)
"""


def best(run: Callable[[], object]) -> float:
    """Least of several times, in seconds."""
    times = []
    for _ in range(TIMES):
        started = time.perf_counter()
        run()
        times.append(time.perf_counter() - started)
    return min(times)


def photo() -> bytes:
    rng = np.random.default_rng(3)
    setting = Setting(
        camera=Camera(width=3024, height=4032, tilt=15.0, azimuth=40.0, roll=5.0, fill=0.85),
        light=Light(shadow=0.3, gradient=0.3, direction=30.0),
        surface=Surface(clutter=12, patchiness=0.1),
        finish=Finish(noise=0.012, texture=0.012),  # a file of some megabytes, as phones write
    )
    return as_jpeg(render_photo(ball_of_foot(rng).moved(0.1, 0.14), setting, rng), quality=93)


def peak_memory(data: bytes) -> float:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.jpg"
        path.write_bytes(data)
        asked = [sys.executable, "-c", PEAK, str(path)]
        return float(subprocess.run(asked, check=True, capture_output=True, text=True).stdout)


def main() -> None:
    data = photo()
    stored = np.frombuffer(data, np.uint8)
    decoding = {
        "OpenCV": best(lambda: cv2.imdecode(stored, cv2.IMREAD_COLOR_RGB)),
        "Pillow": best(lambda: np.asarray(Image.open(io.BytesIO(data)))),
    }
    whole = best(lambda: measure_footprint(read_image(data).pixels))
    print(f"12-megapixel photo of {len(data) / 1e6:.1f} MB, end to end: {1e3 * whole:.0f} ms")
    for name, seconds in decoding.items():
        print(f"decoding alone with {name}: {1e3 * seconds:.0f} ms, ratio {whole / seconds:.1f}")
    print(f"peak memory: {peak_memory(data):.1f} times the decoded picture")


if __name__ == "__main__":
    main()
