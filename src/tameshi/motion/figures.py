"""Peak speed, acceleration, movement time, reach and place of impact: the whole motion before contact."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tameshi.motion.arrays import FloatArray
from tameshi.motion.contact import Contact
from tameshi.motion.path import Path
from tameshi.motion.smooth import FEWEST, Course, smooth_motion, usual_drive
from tameshi.quantity import Measured, Missing, Quantity, Source, rectangular_u

_MOST_FRAMES = 120
_LONGEST = 0.8  # seconds before contact that are looked at
_GRID = 0.001  # seconds between instants
STARTS_AT = 0.05
"""Share of the peak speed that counts as moving."""
_FEWEST_AT_REST = 3
_AFTER = 0.08  # seconds after contact in which the hand comes back off the target
_REBOUND_SPAN = 0.012  # seconds over which its speed is taken
_FEWEST_AFTER = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Whole:
    """The motion up to contact: along and across, every millisecond."""

    along: Course
    across: Course
    path: Path
    contact: Contact
    key: str

    @classmethod
    def of(cls, path: Path, contact: Contact, key: str) -> Whole:
        """Return the motion before contact."""
        before = path.until(contact.earliest)
        before = thinned(before.part(before.times >= contact.time - _LONGEST))
        at = np.arange(float(before.times[0]), contact.time, _GRID)
        usual = usual_drive(path.times, path.way)
        along, across = (
            smooth_motion(before.times, place, u, np.append(at, contact.time), usual)
            for place, u in ((before.way, before.u_way), (before.across, before.u_across))
        )
        return cls(along=along, across=across, path=before, contact=contact, key=key)

    @property
    def speed(self) -> FloatArray:
        """Speed at every instant, in m/s."""
        return np.hypot(self.along.speed, self.across.speed)

    def u_speed(self, n: int) -> float:
        """Return the standard uncertainty of the speed at an instant."""
        v, w = self.along.speed[n], self.across.speed[n]
        size = max(math.hypot(v, w), 1e-9)
        return math.hypot(v * self.along.u_speed[n], w * self.across.u_speed[n]) / size


def thinned(path: Path) -> Path:
    """Return a path with frames left out evenly where there are very many; the last one stays."""
    step = math.ceil(len(path.times) / _MOST_FRAMES)
    chosen = np.zeros(len(path.times), bool)
    chosen[::-1][::step] = True
    return path.part(chosen)


def before_contact(whole: Whole, at_contact: Quantity, factor: Quantity) -> dict[str, Measured]:
    """Return the figures of the motion before contact, by name.

    Parameters
    ----------
    whole : Whole
    at_contact : Quantity
        Speed at contact.
    factor : Quantity
        From lengths in the picture to lengths in space.
    """
    start = _start(whole)
    right, up = _impact(whole, factor)
    return {
        "peak_speed": _peak_speed(whole, at_contact, factor),
        "peak_acceleration": _peak_acceleration(whole, factor),
        "movement_time": _movement_time(whole, start),
        "reach": _reach(whole, start, factor),
        "impact_right": right,
        "impact_up": up,
    }


def _peak_speed(whole: Whole, at_contact: Quantity, factor: Quantity) -> Quantity:
    n = int(np.argmax(whole.speed))
    peak = Quantity(
        float(whole.speed[n]), "m/s", {Source(f"{whole.key}:peak", "places and motion"): whole.u_speed(n)}
    )
    found = peak * factor
    return found if found.value > at_contact.value else at_contact


def _peak_acceleration(whole: Whole, factor: Quantity) -> Quantity:
    rise = (
        whole.along.speed * whole.along.acceleration + whole.across.speed * whole.across.acceleration
    ) / np.maximum(whole.speed, 1e-9)
    n = int(np.argmax(np.where(whole.speed > STARTS_AT * whole.speed.max(), rise, -np.inf)))
    part = {Source(f"{whole.key}:acceleration", "places and motion"): float(whole.along.u_acceleration[n])}
    return Quantity(float(rise[n]), "m/s2", part) * factor


def _start(whole: Whole) -> tuple[float, float] | None:
    """Return when the motion started and its standard uncertainty; None where the film starts later."""
    speed = whole.speed
    level = STARTS_AT * float(speed.max())
    slow = np.flatnonzero(speed < level)
    slow = slow[slow < int(np.argmax(speed))]
    if len(slow) == 0:
        return None
    n = int(slow[-1])
    rise = (speed[n + 1] - speed[n]) / _GRID
    share = (level - speed[n]) / max(speed[n + 1] - speed[n], 1e-9)
    u = whole.u_speed(n) / max(float(rise), 1e-9)
    return float(whole.along.times[n] + share * _GRID), float(min(u, 0.05))


def _movement_time(whole: Whole, start: tuple[float, float] | None) -> Measured:
    if start is None:
        return Missing("s", "the film starts when the hand already moves")
    parts = {
        Source(f"{whole.key}:start", "start of the motion"): start[1],
        Source(f"{whole.key}:contact", "time of contact"): whole.contact.u,
    }
    return Quantity(whole.contact.time - start[0], "s", parts)


def _reach(whole: Whole, start: tuple[float, float] | None, factor: Quantity) -> Measured:
    if start is None:
        return Missing("m", "the film starts when the hand already moves")
    path = whole.path
    still = path.times < start[0]
    if int(still.sum()) < _FEWEST_AT_REST:
        return Missing("m", "the film shows too little of the hand before it moves")
    guard = np.array([path.way[still].mean(), path.across[still].mean()])
    held = np.array([path.way[still].std(), path.across[still].std()])
    ahead = np.array([whole.along.place[-1], whole.across.place[-1]]) - guard
    far = float(np.hypot(*ahead))
    parts = {
        Source(f"{whole.key}:contact", "time of contact"): float(whole.along.speed[-1]) * whole.contact.u,
        Source(f"{whole.key}:places", "places and motion"): float(whole.along.u_place[-1]),
        Source(f"{whole.key}:guard", "where the hand was held"): float(np.hypot(*held)),
    }
    return Quantity(far, "m", parts) * factor


def _impact(whole: Whole, factor: Quantity) -> tuple[Quantity, Quantity]:
    """Return where the marker was at contact, right of and above where the scale was taken."""
    direction = whole.path.direction
    square = np.array([-direction[1], direction[0]])
    place = whole.along.place[-1] * direction + whole.across.place[-1] * square
    late = float(whole.along.speed[-1]) * whole.contact.u
    found = []
    for axis, sign in ((0, 1.0), (1, -1.0)):
        parts = {
            Source(f"{whole.key}:contact", "time of contact"): sign * late * float(direction[axis]),
            Source(f"{whole.key}:places", "places and motion"): math.hypot(
                whole.along.u_place[-1] * direction[axis], whole.across.u_place[-1] * square[axis]
            ),
        }
        found.append(Quantity(sign * float(place[axis]), "m", parts) * factor)
    return found[0], found[1]


def rebound(whole: Whole, path: Path, factor: Quantity, lasts: float | None) -> Measured:
    """Return the speed back off the target, negative where the hand goes on.

    Parameters
    ----------
    whole : Whole
        The motion before contact: tells how much larger the noise of places is than was stated.
    path : Path
        All of it.
    factor : Quantity
        From lengths in the picture to lengths in space.
    lasts : float or None
        How long contact was, where a recording tells; else the greatest speed back is taken.
    """
    contact, key = whole.contact, whole.key
    after = path.part((path.times > contact.latest + (lasts or 0.0)) & (path.times < contact.time + _AFTER))
    why = "the film or the track ends too soon after contact"
    if len(after.times) < _FEWEST_AFTER:
        return Missing("m/s", why)
    step = float(np.median(np.diff(after.times)))
    count = max(FEWEST - 1, round(_REBOUND_SPAN / step) + 1)
    noise = whole.along.noise
    begins = range(2 if lasts else len(after.times) - count + 1)
    lines = [
        _line(after.times[n : n + count], after.way[n : n + count], noise * after.u_way[n : n + count])
        for n in begins
        if n + count <= len(after.times)
    ]
    if not lines:
        return Missing("m/s", why)
    n = 0 if lasts else lines.index(min(lines))
    slope, u = lines[n]
    # a line tells the middle of its span, and the hand slows down within it: its beginning is asked for
    change = max(0.0, lines[n + 1][0] - slope) if n + 1 < len(lines) else 0.0
    faster = 0.5 * (count - 1) * change
    parts = {
        Source(f"{key}:rebound", "places and motion"): u,
        Source(f"{key}:span", "change within the span"): rectangular_u(faster),
    }
    return Quantity(faster - slope, "m/s", parts) * factor


def _line(times: FloatArray, way: FloatArray, u: FloatArray) -> tuple[float, float]:
    """Return the slope of a straight line and its uncertainty, from the places' own or the misfit."""
    since = times - times.mean()
    power = float(since @ since)
    slope = float(since @ way) / power
    left = way - way.mean() - slope * since
    scatter = math.sqrt(float(left @ left) / max(1, len(times) - 2))
    return slope, max(scatter, float(u.mean())) / math.sqrt(power)
