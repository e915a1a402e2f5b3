"""How long does a 12-megapixel photo take, and how much memory, beside decoding the same JPEG?

Photos are rendered first; reading and measuring them from bytes is then timed against decoding them with
the same quick decoder and with Pillow, by turns, since other work on the machine slows both: figures are
medians, and the median of the ratios; of fresh processes, which do one or the other, the ratio of medians.
What each stage takes is told by a profiler, which adds a little.
Memory is the peak of a fresh process, above what it held before the file was read, as a multiple of the
decoded picture (Linux only). Two photos of the target sheet: a clean one, which is a small file, and one with
the noise that makes files of several megabytes, as phones write them: the more is stored, the longer decoding
takes. Then the target sheet through a lens that bends, and one photo for each other kind of reference that is
found without being named; squared paper is found and refused, since nobody said its pitch.

Decoding alone takes 28 ms or 52 ms of the same file, by the state of the process's memory: a picture of
37 MB in memory fresh from the system costs 9 000 page faults, which take as long as decoding it. Told to
keep what is freed (``mallopt``), a process took 28 ms each time, without one fault; else it hangs on what was
freed before. The ratio is harder to keep where decoding is quick. So it is told for fresh processes, where
nothing was freed, and for one warm process that has rendered and freed pictures, with the faults of decoding.
Ratios of two versions are to be held against each other only where those are alike. Time of the processor is
told beside the wall's: other work on the machine disturbs it less, and a second core does not shorten it.
"""

from __future__ import annotations

import cProfile
import io
import pstats
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
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
FRESH_TIMES = 5  # processes that decode, and as many that measure
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


FRESH = """
import sys, time
from pathlib import Path
import cv2, numpy as np
from tameshi.footprint import measure_footprint
from tameshi.readers.image import read_image
data = Path(sys.argv[2]).read_bytes()
wall, processor = time.perf_counter(), time.process_time()
if sys.argv[1] == "decode":
    cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR_RGB)
else:
    measure_footprint(read_image(data).pixels, key="photo")
print(time.perf_counter() - wall, time.process_time() - processor)
"""


@dataclass(frozen=True)
class Timed:
    """Medians of some runs, in seconds, and of the ratio of both, run by run; of the processor's time too."""

    whole: float
    decoding: float
    ratio: float
    processor_whole: float
    processor_decoding: float
    processor_ratio: float
    faults: float

    def __str__(self) -> str:
        """Return both in milliseconds, and the ratios."""
        return (
            f"end to end {1e3 * self.whole:.0f} ms, decoding alone {1e3 * self.decoding:.0f} ms, ratio "
            f"{self.ratio:.1f}; of the processor {1e3 * self.processor_whole:.0f} ms, "
            f"{1e3 * self.processor_decoding:.0f} ms, {self.processor_ratio:.1f} "
            f"({self.faults:.0f} page faults while decoding)"
        )


def spent(work: Callable[[], object]) -> tuple[float, float, int]:
    """Return the wall's and the processor's time of some work, in seconds, and its page faults."""
    faults = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
    wall, processor = time.perf_counter(), time.process_time()
    work()
    took = time.perf_counter() - wall, time.process_time() - processor
    return *took, resource.getrusage(resource.RUSAGE_SELF).ru_minflt - faults


def beside(whole: Callable[[], object], decoding: Callable[[], object], times: int) -> Timed:
    """Run both by turns."""
    pairs = [(spent(decoding), spent(whole)) for _ in range(times)]
    medians = [[statistics.median(pair[which][n] for pair in pairs) for n in range(3)] for which in (0, 1)]
    ratios = [statistics.median(whole[n] / alone[n] for alone, whole in pairs) for n in (0, 1)]
    (alone, processor_alone, faults), (all_of_it, processor_all, _) = medians
    return Timed(all_of_it, alone, ratios[0], processor_all, processor_alone, ratios[1], faults)


def fresh(data: bytes) -> str:
    """Return what processes take that do nothing else, by turns: decode once, or read and measure once."""
    took: dict[str, list[list[float]]] = {"decode": [], "measure": []}
    with stored(data) as path:
        for _ in range(FRESH_TIMES):
            for what, times in took.items():
                asked = [sys.executable, "-c", FRESH, what, str(path)]
                told = subprocess.run(asked, check=True, capture_output=True, text=True).stdout
                times.append([float(word) for word in told.split()])
    (alone, processor_alone), (whole, processor_whole) = (
        [statistics.median(column) for column in zip(*times, strict=True)] for times in took.values()
    )
    return (
        f"end to end {1e3 * whole:.0f} ms, decoding alone {1e3 * alone:.0f} ms, ratio {whole / alone:.1f}; "
        f"of the processor {1e3 * processor_whole:.0f} ms, {1e3 * processor_alone:.0f} ms, "
        f"{processor_whole / processor_alone:.1f}"
    )


@contextmanager
def stored(data: bytes) -> Iterator[Path]:
    """Keep a picture in a file for a while."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.jpg"
        path.write_bytes(data)
        yield path


def measured(data: bytes, dpi: float | None = None) -> str:
    """Read and measure a picture without naming its reference; return which one was taken, or the refusal."""
    try:
        found = measure_footprint(read_image(data).pixels, key="photo", dpi=dpi)
    except TameshiError as refusal:
        return refusal.code
    return found.reference.kind


def photo(*, noise: float = 0.012, quality: int = 93, distortion: float = 0.0) -> bytes:
    """Draw the target sheet; ``distortion`` is by what share the lens moves the picture's corners."""
    rng = np.random.default_rng(3)
    setting = Setting(
        camera=Camera(
            width=3024, height=4032, tilt=15.0, azimuth=40.0, roll=5.0, fill=0.85, distortion=distortion
        ),
        light=Light(shadow=0.3, gradient=0.3, direction=30.0),
        surface=Surface(clutter=12, patchiness=0.1),
        finish=Finish(noise=noise, texture=0.012),
    )
    return as_jpeg(render_photo(ball_of_foot(rng).moved(0.1, 0.14), setting, rng), quality=quality)


def peak_memory(data: bytes) -> float:
    with stored(data) as path:
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
    decoders: dict[str, Callable[[], object]] = {
        "OpenCV": lambda: cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR_RGB),
        "Pillow": lambda: np.asarray(Image.open(io.BytesIO(data))),
    }
    print(f"12-megapixel photo of the target sheet, {len(data) / 1e6:.1f} MB")
    print(f"  times decoding, wanted: at most {MOST_TIMES:g}")
    for name, decode in decoders.items():
        print(f"  one warm process, {name}: {beside(lambda: measured(data), decode, TIMES)}")
    print(f"  fresh processes, OpenCV: {fresh(data)}")
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
        "target sheet, lens that bends": (photo(distortion=-0.01), None),
        "plain sheet": (as_jpeg(sheet, quality=93), None),
        "ruler": (as_jpeg(ruler, quality=93), None),
        "squared paper": (as_jpeg(squares, quality=93), None),
        "scan": (as_jpeg(scan, quality=93), 600.0),
    }


def report_kinds() -> None:
    """Print how long it takes where the reference is not named."""
    print("12-megapixel pictures, reference not named, beside decoding alone with OpenCV")
    for name, (data, dpi) in of_each_kind().items():
        timed = beside(
            lambda data=data, dpi=dpi: measured(data, dpi),  # type: ignore[misc]
            lambda data=data: cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR_RGB),  # type: ignore[misc]
            FEWER_TIMES,
        )
        print(f"  {name} ({measured(data, dpi)}): {timed}")


def main() -> None:
    report(photo())
    report(photo(noise=0.03, quality=95))
    report_kinds()


if __name__ == "__main__":
    main()
