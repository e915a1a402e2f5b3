"""How long does a 12-megapixel photo take, and how much memory, beside decoding the same JPEG?

The photo is rendered first; reading and measuring it from bytes is then timed against decoding it with
the same quick decoder and with Pillow. What each stage takes is told by a profiler, which adds a little.
Memory is the peak of a fresh process, above what it held before the file was read, as a multiple of the
decoded picture (Linux only). Two photos: a clean one, which is a small file, and one with the noise that
makes files of several megabytes, as phones write them: the more is stored, the longer decoding takes.
"""

from __future__ import annotations

import cProfile
import io
import pstats
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

TIMES = 9
MOST_TIMES, MOST_MEMORY = 5.0, 12.0  # wanted: of decoding, and of the decoded picture
STAGES = {
    "read_image": "read and decode",
    "establish_reference": "find the reference",
    "_overview": "find the ink",
    "close_up": "close-up",
    "draw_outline": "outline",
    "look_at_edge": "edge and ink level",
    "count_contact": "count the contact area",
    "look_for_ridges": "skin ridges",
    "put_together": "patches and budgets",
}
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


def photo(*, noise: float = 0.012, quality: int = 93) -> bytes:
    rng = np.random.default_rng(3)
    setting = Setting(
        camera=Camera(width=3024, height=4032, tilt=15.0, azimuth=40.0, roll=5.0, fill=0.85),
        light=Light(shadow=0.3, gradient=0.3, direction=30.0),
        surface=Surface(clutter=12, patchiness=0.1),
        finish=Finish(noise=noise, texture=0.012),
    )
    return as_jpeg(render_photo(ball_of_foot(rng).moved(0.1, 0.14), setting, rng), quality=quality)


def peak_memory(data: bytes) -> float:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.jpg"
        path.write_bytes(data)
        asked = [sys.executable, "-c", PEAK, str(path)]
        return float(subprocess.run(asked, check=True, capture_output=True, text=True).stdout)


def stages(data: bytes) -> dict[str, float]:
    """Seconds that each stage takes, found by the names of its functions wherever they stand."""
    profiler = cProfile.Profile()
    profiler.enable()
    for _ in range(TIMES):
        measure_footprint(read_image(data).pixels, key="photo")
    profiler.disable()
    found = dict.fromkeys(STAGES, 0.0)
    for (_, _, name), (_, _, _, cumulative, _) in pstats.Stats(profiler).stats.items():  # type: ignore[attr-defined]
        if name in found:
            found[name] += cumulative / TIMES
    return {STAGES[name]: seconds for name, seconds in found.items()}


def report(data: bytes) -> None:
    """Print times beside decoding, memory, and what each stage takes."""
    stored = np.frombuffer(data, np.uint8)
    decoding = {
        "OpenCV": best(lambda: cv2.imdecode(stored, cv2.IMREAD_COLOR_RGB)),
        "Pillow": best(lambda: np.asarray(Image.open(io.BytesIO(data)))),
    }
    whole = best(lambda: measure_footprint(read_image(data).pixels, key="photo"))
    print(f"12-megapixel photo of {len(data) / 1e6:.1f} MB, end to end: {1e3 * whole:.0f} ms")
    for name, seconds in decoding.items():
        print(
            f"  decoding alone with {name}: {1e3 * seconds:.0f} ms, ratio {whole / seconds:.1f} "
            f"(wanted: at most {MOST_TIMES:g})"
        )
    print(
        f"  peak memory: {peak_memory(data):.1f} times the decoded picture (wanted: at most {MOST_MEMORY:g})"
    )
    for name, seconds in stages(data).items():
        print(f"    {name:24} {1e3 * seconds:6.0f} ms")


def main() -> None:
    report(photo())
    report(photo(noise=0.03, quality=95))


if __name__ == "__main__":
    main()
