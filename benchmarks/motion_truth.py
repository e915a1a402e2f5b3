"""How often does the interval of a speed hold the truth, and how wide is it? Rendered films, printed.

Every film is drawn anew: speed, reach, evenness and bow of the strike, how hard and how long it is stopped,
light, noise, exposure, compression, rolling shutter, background. How far the strike is from the plane of the
scale, how it leaves it, and how square the camera stands are drawn as widely as the budget takes them to lie.
The films go through a container and the command's own steps; half take their scale from a picked length
(picked as badly as the budget says), half from a square marker.

    python -m benchmarks.motion_truth --films 200 --seed 1 [--rate 240] [--speed 8]
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import Any

import numpy as np

from tameshi.demo.film import BAR, FilmCamera, Filmed, FilmScene, film
from tameshi.demo.film_file import FilmFile, store_film
from tameshi.demo.film_motion import Thrust
from tameshi.errors import TameshiError
from tameshi.quantity import Quantity
from tameshi.readers.clip import ClipOptions, MeasuredClip, measure_film

OFF_PLANE, MOTION_DEG, SQUARE_DEG, PICKED = 0.05, 6.875, 4.01, 2.0
LENGTH_WITHIN, SIDE_WITHIN = 0.001, 0.0005
DISTANCES = (2.6, 4.0)  # metres from the lens to the plane of the strike
TURNS = ((240.0, 8.0), (240.0, None), (960.0, None))  # frames a second; metres a second, or drawn
LATE = 0.11  # seconds before contact from which films at 960 a second are rendered: rendering takes its time
FIGURES = ("speed_at_contact", "reach", "rebound_speed")


Rows = dict[tuple[str, str], list[tuple[float, float, float, bool]]]
"""By kind of film and figure: error over u, relative error and half width, whether it holds the truth."""


@dataclass(frozen=True)
class Drawn:
    """One film and its truth."""

    data: bytes
    scene: FilmScene
    filmed: Filmed
    camera: FilmCamera
    options: ClipOptions
    contact: float


def draw(
    rng: np.random.Generator,
    rate: float,
    speed: float | None,
    width: int = 800,
    distances: tuple[float, float] = DISTANCES,
) -> Drawn:
    thrust = Thrust(
        speed=speed or float(rng.uniform(4.0, 12.0)),
        reach=float(rng.uniform(0.4, 0.75)),
        peak_at=float(rng.uniform(0.82, 1.08)),
        ripple=float(rng.uniform(0.0, 0.02)),
        ripple_rate=float(rng.uniform(8.0, 20.0)),
        contact=float(rng.uniform(0.006, 0.02)),
        restitution=float(rng.uniform(0.0, 0.4)),
        bow=float(rng.uniform(-0.04, 0.04)),
    )
    distance = float(rng.uniform(*distances))
    exposure = float(np.exp(rng.uniform(math.log(1.0 / 2000.0), math.log(min(1.0 / 300.0, 0.9 / rate)))))
    scene = FilmScene(
        thrust=thrust,
        contact_at=(float(rng.uniform(0.2, 0.45)), float(rng.uniform(-0.12, 0.05))),
        off_plane=float(rng.uniform(-OFF_PLANE, OFF_PLANE)),
        out_of_plane=float(rng.uniform(-MOTION_DEG, MOTION_DEG)),
        upwards=float(rng.uniform(-15.0, 15.0)),
        marker=float(rng.uniform(0.035, 0.05)),
        board=(float(rng.uniform(0.0, 0.3)), 0.3),  # near where the hand lands, as docs/film.md says
        board_marker=0.12,
        seconds_before=0.02 if rate < 500.0 else min(0.02, LATE - thrust.lasts),
        seconds_after=0.045,
        phase=float(rng.uniform(0.0, 1.0)),
    )
    camera = FilmCamera(
        width=width,
        height=2 * round(width * 9 / 32),
        focal=distance * width / 2.0,  # a field of two metres
        distance=distance,
        pan=float(rng.uniform(-SQUARE_DEG, SQUARE_DEG)),
        pitch=float(rng.uniform(-SQUARE_DEG, SQUARE_DEG)),
        rate=rate,
        exposure=exposure,
        read_out=float(rng.uniform(0.0, 0.9 / rate)),
        blur=float(rng.uniform(0.5, 1.0)),
        noise=float(rng.uniform(1.0, 5.0)),
    )
    filmed = film(scene, camera, rng)
    how = FilmFile(quality=int(rng.integers(17, 27)))
    options = _options(scene, filmed, camera, rng)
    return Drawn(store_film(filmed, how), scene, filmed, camera, options, filmed.contact)


def _options(scene: FilmScene, filmed: Filmed, camera: FilmCamera, rng: np.random.Generator) -> ClipOptions:
    """Return what a person would type, with a person's errors."""
    known: dict[str, Any] = {"distance": f"{camera.distance + rng.uniform(-0.05, 0.05):.3f} m"}
    known["off_plane"], known["motion_within"] = f"{OFF_PLANE} m", f"{MOTION_DEG} deg"
    known["square_within"] = f"{SQUARE_DEG} deg"
    if rng.uniform() < 0.5:
        side = scene.board_marker + rng.uniform(-SIDE_WITHIN, SIDE_WITHIN)
        return ClipOptions(scale_marker=f"7 = {1000.0 * side:.3f} mm", **known)
    ends = filmed.scale_ends + rng.uniform(-PICKED, PICKED, (2, 2))
    length = BAR + rng.uniform(-LENGTH_WITHIN, LENGTH_WITHIN)
    typed = f"{ends[0, 0]:.2f},{ends[0, 1]:.2f} {ends[1, 0]:.2f},{ends[1, 1]:.2f} = {1000.0 * length:.3f} mm"
    return ClipOptions(scale=typed, follow=_near(filmed, rng), **known)


def _near(filmed: Filmed, rng: np.random.Generator) -> str:
    x, y = filmed.marker_at[0] + rng.uniform(-3.0, 3.0, 2)
    return f"{x:.1f},{y:.1f}"


def _named(drawn: Drawn) -> str:
    speed = "8 m/s" if drawn.scene.thrust.speed == 8.0 else "4 to 12 m/s"
    return f"{drawn.camera.rate:.0f} a second, {speed}"


def truth(drawn: Drawn, figure: str) -> float:
    thrust = drawn.scene.thrust
    if figure == "speed_at_contact":
        return thrust.speed
    if figure == "rebound_speed":
        return thrust.restitution * thrust.speed
    ends = drawn.scene.hand(np.array([-thrust.lasts - 0.01, 0.0]))
    return float(np.linalg.norm(ends[1] - ends[0]))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--films", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rate", type=float, default=0.0, help="0: 240, 240 and 960 by turns")
    parser.add_argument("--speed", type=float, default=0.0, help="0: 8 m/s, then twice 4 to 12, by turns")
    parser.add_argument("--width", type=int, default=800, help="of the films, in pixels")
    parser.add_argument(
        "--distances", type=float, nargs=2, default=DISTANCES, help="of the camera, in metres"
    )
    parser.add_argument("--every", type=int, default=50, help="films between reports on the way")
    asked = parser.parse_args()
    rows: Rows = defaultdict(list)
    refused: Counter[str] = Counter()
    contacts: list[bool] = []
    begun = time.process_time()
    for n in range(asked.films):
        rng = np.random.default_rng([asked.seed, n])
        rate, speed = TURNS[n % len(TURNS)]
        drawn = draw(rng, asked.rate or rate, asked.speed or speed, asked.width, tuple(asked.distances))
        try:
            measured = measure_film(drawn.data, f"film {n}", drawn.options)
        except TameshiError as error:
            refused[error.code] += 1
            continue
        _take(rows, _named(drawn), drawn, measured)
        contacts.append(_holds_contact(drawn, measured))
        if (n + 1) % asked.every == 0:
            print(f"after {n + 1} films:")
            report(rows, refused, contacts)
    report(rows, refused, contacts)
    print(f"{asked.films} films, seed {asked.seed}, {time.process_time() - begun:.0f} s of processor")


def report(
    rows: Rows,
    refused: Counter[str],
    contacts: list[bool],
) -> None:
    print("refused:", dict(refused) or "none")
    print(f"contact's interval holds the truth in {np.mean(contacts):.1%} of {len(contacts)}")
    for (kind, figure), found in sorted(rows.items()):
        errors, relative, doubts, holds = (np.array(column) for column in zip(*found, strict=True))
        print(
            f"{kind:23s} {figure:17s} n {len(found):3d}: holds the truth {np.mean(holds):.1%}, "
            f"median error {np.median(np.abs(relative)):.2%}, mean {np.mean(relative):+.2%}, "
            f"median half width {np.median(doubts):.2%}, sd of z {np.std(errors):.2f}"
        )
    everything = [row for (_, figure), found in rows.items() if figure == FIGURES[0] for row in found]
    print(
        f"speed at contact, all {len(everything)}: holds the truth {np.mean([r[3] for r in everything]):.1%}"
    )
    sys.stdout.flush()


def _take(
    rows: Rows,
    kind: str,
    drawn: Drawn,
    measured: MeasuredClip,
) -> None:
    for figure in FIGURES:
        found, true = measured.motion.figure(figure), truth(drawn, figure)
        if not isinstance(found, Quantity) or true <= 0.1:
            continue
        error = found.value - true
        half = 0.5 * (found.high - found.low)
        rows[kind, figure].append(
            (error / found.u, error / true, half / found.value, found.low <= true <= found.high)
        )


def _holds_contact(drawn: Drawn, measured: MeasuredClip) -> bool:
    late = drawn.camera.read_out * drawn.filmed.marker_at[-1, 1] / drawn.camera.height
    contact = measured.motion.contact
    return bool(contact.earliest - late - 0.0005 <= drawn.contact <= contact.latest + 0.0005)


if __name__ == "__main__":
    main()
