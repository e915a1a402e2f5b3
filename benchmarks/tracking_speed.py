"""How many frames a second are followed, beside decoding alone: one rendered film, processor time, medians.

python -m benchmarks.tracking_speed [--width 1280] [--height 720]
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable

import numpy as np

from tameshi.demo.film import FilmCamera, FilmScene, film
from tameshi.demo.film_file import store_film
from tameshi.motion import begin, follow, measure_motion, parse_follow, scale_of_length
from tameshi.motion.scale import KnownLength
from tameshi.readers.film import read_film


def taken(work: Callable[[], object], repeats: int) -> float:
    """Return the median processor time of some work, in seconds."""
    times = []
    for _ in range(repeats):
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    return statistics.median(times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--width", type=int, default=1280)
    parser.add_argument("--height", type=int, default=720)
    parser.add_argument("--repeats", type=int, default=5)
    asked = parser.parse_args()
    camera = FilmCamera(width=asked.width, height=asked.height, focal=1.5 * asked.width)
    filmed = film(FilmScene(), camera, np.random.default_rng(1))
    data = store_film(filmed)
    read = read_film(data, "film", key="key").film
    x, y = filmed.marker_at[0]
    begun = begin(read, parse_follow(f"{x:.1f},{y:.1f}"))
    track = follow(read, begun.pattern, begun.place, begun.index)
    scale = scale_of_length(
        KnownLength(ends=filmed.scale_ends, length=0.5, picked_within=2.0, known_within=0.001)
    )
    decoding = taken(lambda: read_film(data, "film", key="key"), asked.repeats)
    following = taken(lambda: follow(read, begun.pattern, begun.place, begun.index), asked.repeats)
    measuring = taken(lambda: measure_motion(read, track, scale), asked.repeats)
    count = len(read.frames)
    print(
        f"{count} frames of {asked.width} x {asked.height}, {2.0 * begun.pattern.radius:.0f} pixels of marker"
    )
    print(f"decoding to grey:  {count / decoding:6.0f} frames a second")
    print(
        f"following:         {count / following:6.0f} frames a second, {following / decoding:.2f} of decoding"
    )
    print(f"figures:           {measuring:6.2f} s a film, {measuring / decoding:.2f} of decoding")


if __name__ == "__main__":
    main()
