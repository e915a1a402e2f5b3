"""How long does a 12-megapixel photo take, and how much memory, beside decoding the same JPEG?

Photos are rendered first; reading and measuring them from bytes is then timed against decoding them with
the same quick decoder and with Pillow, by turns, since other work on the machine slows both: figures are
medians, and the median of the ratios. What each stage takes is told by a profiler, which adds a little.
Memory is the peak of a fresh process, above what it held before the file was read, as a multiple of the
decoded picture (Linux only). Two photos of the target sheet: a clean one, which is a small file, and one with
the noise that makes files of several megabytes, as phones write them: the more is stored, the longer decoding
takes. Then one photo for each kind of reference that is found without being named; squared paper is found and
refused, since nobody said its pitch.

Decoding the same file alone was seen to take 31 ms in some processes and 52 ms in others, of one version
and of another alike; the state of their memory is a likely cause, not a tested one. So the ratios of two
versions are not to be held against each other unless decoding took as long in both: compare
milliseconds.
"""

from __future__ import annotations

import cProfile
import io
import pstats
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from tameshi.demo.photo import (
    Camera,
    Finish,
    Light,
    Setting,
    Surface,
    as_jpeg,
    render_photo,
    render_scan,
)
from tameshi.demo.plain import Lying, PlainSetting, render_plain
from tameshi.demo.prints import ball_of_foot
from tameshi.demo.ruler import RulerScene, render_with_ruler
from tameshi.demo.squared import Squared, SquaredScene, render_squared
from tameshi.errors import TameshiError
from tameshi.footprint import Box, measure_footprint
from tameshi.readers.image import read_image

TIMES, FEWER_TIMES = 9, 5
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


@dataclass(frozen=True)
class Timed:
    """Medians of some runs, in seconds, and of the ratio of both, run by run."""

    whole: float
    decoding: float
    ratio: float


def beside(whole: Callable[[], object], decoding: Callable[[], object], times: int) -> Timed:
    """Run both by turns."""
    pairs = []
    for _ in range(times):
        started = time.perf_counter()
        decoding()
        between = time.perf_counter()
        whole()
        pairs.append((time.perf_counter() - between, between - started))
    return Timed(
        statistics.median(pair[0] for pair in pairs),
        statistics.median(pair[1] for pair in pairs),
        statistics.median(pair[0] / pair[1] for pair in pairs),
    )


def measured(data: bytes, dpi: float | None = None) -> str:
    """Read and measure a picture without naming its reference; return which one was taken, or the refusal."""
    try:
        found = measure_footprint(read_image(data).pixels, key="photo", dpi=dpi)
    except TameshiError as refusal:
        return refusal.code
    return found.reference.kind


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
    decoders: dict[str, Callable[[], object]] = {
        "OpenCV": lambda: cv2.imdecode(stored, cv2.IMREAD_COLOR_RGB),
        "Pillow": lambda: np.asarray(Image.open(io.BytesIO(data))),
    }
    print(f"12-megapixel photo of the target sheet, {len(data) / 1e6:.1f} MB")
    for name, decode in decoders.items():
        timed = beside(lambda: measured(data), decode, TIMES)
        print(
            f"  end to end {1e3 * timed.whole:.0f} ms, decoding alone with {name} "
            f"{1e3 * timed.decoding:.0f} ms, ratio {timed.ratio:.1f} (wanted: at most {MOST_TIMES:g})"
        )
    print(
        f"  peak memory: {peak_memory(data):.1f} times the decoded picture (wanted: at most {MOST_MEMORY:g})"
    )
    for name, seconds in stages(data).items():
        print(f"    {name:24} {1e3 * seconds:6.0f} ms")


def of_each_kind() -> dict[str, tuple[bytes, float | None]]:
    """Return a picture for each reference that is found unasked, with a scan's pixels an inch."""
    rng = np.random.default_rng(5)
    camera = Camera(width=3024, height=4032, tilt=12.0, azimuth=40.0, roll=4.0, fill=0.8)
    light, surface = Light(shadow=0.3, gradient=0.3, direction=30.0), Surface(patchiness=0.1)
    finish = Finish(noise=0.012, texture=0.01)
    contact, squared = ball_of_foot(rng), Squared(pitch=0.005)
    setting = Setting(camera=camera, light=light, finish=finish, surface=surface)
    glass = Box(0.0, 0.0, 0.128, 0.17)
    sheet = render_plain(
        contact.moved(0.1, 0.14), PlainSetting(setting=setting, lying=Lying(texture="wood")), rng
    )
    ruler = render_with_ruler(
        contact.moved(0.105, 0.16),
        RulerScene(camera=camera, light=light, finish=finish, surface=surface),
        rng,
    )
    squares = render_squared(
        contact.moved(0.5 * squared.width, 0.5 * squared.height),
        SquaredScene(squared=squared, camera=camera, light=light, finish=finish, surface=surface),
        rng,
    )
    scan = render_scan(contact.moved(0.064, 0.085), glass, 600.0, rng, surface=surface, finish=finish)
    return {
        "plain sheet": (as_jpeg(sheet, quality=93), None),
        "ruler": (as_jpeg(ruler, quality=93), None),
        "squared paper": (as_jpeg(squares, quality=93), None),
        "scan": (as_jpeg(scan, quality=93), 600.0),
    }


def report_kinds() -> None:
    """Print how long it takes where the reference is not named."""
    print("12-megapixel pictures, reference not named, beside decoding alone with OpenCV")
    for name, (data, dpi) in of_each_kind().items():
        stored = np.frombuffer(data, np.uint8)
        timed = beside(
            lambda data=data, dpi=dpi: measured(data, dpi),  # type: ignore[misc]
            lambda stored=stored: cv2.imdecode(stored, cv2.IMREAD_COLOR_RGB),  # type: ignore[misc]
            FEWER_TIMES,
        )
        print(
            f"  {name:14} {1e3 * timed.whole:6.0f} ms, ratio {timed.ratio:5.1f} ({measured(data, dpi)}, "
            f"decoding {1e3 * timed.decoding:.0f} ms)"
        )


def main() -> None:
    report(photo())
    report(photo(noise=0.03, quality=95))
    report_kinds()


if __name__ == "__main__":
    main()
