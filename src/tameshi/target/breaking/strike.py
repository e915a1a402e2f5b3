"""A strike as it is known from a rigid plate: its peak, how long it takes to build up, the mass behind it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.quantity import Measured, Quantity
from tameshi.reference import row
from tameshi.rig import BARE, ExpectedStrike, force_of_strike
from tameshi.target.breaking.limits import doubt_speed, refuse_scatter
from tameshi.target.breaking.variables import Lognormal

FloatArray = NDArray[np.float64]
_SAMPLES = 801
_PAIR = 2
_FEWEST_SAMPLES = 3


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """Force on the plate over time.

    Parameters
    ----------
    time : (n,) array
        [s]
    force : (n,) array
        [N]
    """

    time: FloatArray
    force: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class SeenStrike:
    """What was measured of one strike.

    Parameters
    ----------
    peak : Measured
        [N]
    impulse_to_peak : Measured
        [N s]
    course : Course or None
    """

    peak: Measured
    impulse_to_peak: Measured
    course: Course | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlateStrike:
    """A strike on a rigid plate.

    Parameters
    ----------
    peak : Lognormal
        Peak force of the next such strike. [N]
    duration : Lognormal
        Of the half-sine of the same peak and the same impulse up to it. [s]
    mass : Lognormal
        Effective mass. [kg]
    course : Course or None
        Where it was recorded or is skewed.
    is_measured : bool
        Whether ``course`` is a recording.
    count : int
        Strikes it was drawn from; 0 where it was typed.
    flags : tuple of Flag
    """

    peak: Lognormal
    duration: Lognormal
    mass: Lognormal
    course: Course | None = None
    is_measured: bool = False
    count: int = 0
    flags: tuple[Flag, ...] = field(default=())

    @property
    def speed(self) -> float:
        """Speed at which its mass meets the plate, by the medians. [m/s]"""
        return self.peak.median * self.duration.median / (math.pi * self.mass.median)


def typed_strike(
    expected: ExpectedStrike, *, scatter: float = 0.0, mass: float | None = None, speed: float | None = None
) -> PlateStrike:
    """Return a strike that a person typed.

    Parameters
    ----------
    expected : ExpectedStrike
        Peak, contact duration and rise on a rigid plate.
    scatter : float
        Coefficient of variation of the peak from strike to strike.
    mass, speed : float or None
        Effective mass or speed at contact; one says the other. [kg], [m/s]

    Raises
    ------
    WrongUseError
        ``mass-and-speed``, ``wrong-mass``, ``wrong-scatter``, ``implausible-strike``.
    """
    refuse_scatter(scatter)
    time = np.linspace(0.0, expected.duration, _SAMPLES)
    length = 2.0 * expected.time_to_peak
    behind = striker_mass(expected.peak, length, mass=mass, speed=speed)
    return PlateStrike(
        peak=Lognormal(expected.peak, _log_spread(scatter)),
        duration=Lognormal(length, 0.0),
        mass=behind,
        course=Course(time, force_of_strike(expected, time)),
        flags=(*_mass_flags(mass, speed), *_speed_flags(expected.peak, length, behind)),
    )


def measured_strike(
    seen: Sequence[SeenStrike],
    *,
    mass: float | None = None,
    speed: float | None = None,
    pad: str | None = None,
) -> PlateStrike:
    """Return the next strike of a kind that was measured.

    Parameters
    ----------
    seen : sequence of SeenStrike
        Those without a known peak are left out.
    mass, speed : float or None
        Effective mass or speed at contact. [kg], [m/s]
    pad : str or None
        Of the plate it was measured on.

    Raises
    ------
    UnmeasurableError
        ``no-known-peak``.
    WrongUseError
        ``mass-and-speed``, ``wrong-mass``, ``wrong-scatter``, ``implausible-strike``.

    Notes
    -----
    The logarithm of the next peak is Student's with the scatter of those measured, times sqrt(1 + 1/n), and
    the uncertainty they share on top.
    """
    known = [
        (one.peak, one.impulse_to_peak, one.course)
        for one in seen
        if isinstance(one.peak, Quantity) and isinstance(one.impulse_to_peak, Quantity)
    ]
    if not known:
        raise UnmeasurableError(
            "no-known-peak",
            "No strike here has a known peak force and impulse.",
            hint="Look at the flags of `tameshi strikes`: the top may be cut off.",
        )
    lengths = [math.pi * impulse.value / peak.value for peak, impulse, _ in known]
    peak = _next([one.value for one, _, _ in known], max(one.u / one.value for one, _, _ in known))
    duration = _next(lengths, max(one.u / one.value for _, one, _ in known))
    middle = sorted(known, key=lambda one: one[0].value)[(len(known) - 1) // 2]
    behind = striker_mass(peak.median, duration.median, mass=mass, speed=speed)
    return PlateStrike(
        peak=peak,
        duration=duration,
        mass=behind,
        course=middle[2],
        is_measured=middle[2] is not None,
        count=len(known),
        flags=(
            *_mass_flags(mass, speed),
            *_speed_flags(peak.median, duration.median, behind),
            *_measured_flags(len(known), pad),
        ),
    )


def course_of(start: float, rate: float, force: ArrayLike, *, onset: float, end: float) -> Course | None:
    """Return the part of a curve that is the contact, None where fewer than three samples are.

    Parameters
    ----------
    start : float
        Time of its first sample. [s]
    rate : float
        [Hz]
    force : (n,) array
        [N]
    onset, end : float
        Of the contact, on the same clock. [s]
    """
    samples = np.asarray(force, dtype=np.float64)
    time = start + np.arange(len(samples)) / rate
    inside = (time >= onset) & (time <= end)
    if np.count_nonzero(inside) < _FEWEST_SAMPLES or not samples[inside].max() > 0.0:
        return None
    return Course(time[inside] - onset, samples[inside])


def striker_mass(
    peak: float, duration: float, *, mass: float | None = None, speed: float | None = None
) -> Lognormal:
    """Return the effective mass behind a strike; where neither mass nor speed is known, that of punches.

    Raises
    ------
    WrongUseError
        ``mass-and-speed``, ``wrong-mass``, ``wrong-scatter``, ``implausible-strike``.
    """
    if mass is not None and speed is not None:
        raise WrongUseError(
            "mass-and-speed",
            "Mass and speed were both given, and with the strike on the plate one says the other.",
            hint="Give one of them.",
        )
    if min(mass if mass is not None else 1.0, speed if speed is not None else 1.0) <= 0.0:
        raise WrongUseError(
            "wrong-mass",
            "Mass and speed of a striker are above zero.",
            hint="Give what is behind the strike, such as 2.5 kg, or how fast it arrives, such as 7 m/s.",
        )
    if mass is not None:
        return Lognormal(mass, float(row("breaking_choices", "typed mass")["value"]))
    if speed is not None:
        spread = float(row("breaking_choices", "typed speed")["value"])
        return Lognormal(peak * duration / (math.pi * speed), spread)
    known = row("breaking_choices", "striker mass")
    spread = _log_spread(float(known["spread"]) / float(known["value"]))
    return Lognormal(float(known["value"]) * math.exp(-0.5 * spread * spread), spread)


def _next(values: Sequence[float], shared: float) -> Lognormal:
    logs = np.log(values)
    if len(values) < _PAIR:
        return Lognormal(values[0], shared)
    ahead = float(np.std(logs, ddof=1)) * math.sqrt(1.0 + 1.0 / len(values))
    return Lognormal(float(np.exp(logs.mean())), math.hypot(ahead, shared), float(len(values) - 1))


def _measured_flags(count: int, pad: str | None) -> list[Flag]:
    flags = []
    if pad is None:
        told = (
            "Nobody said what lay on the plate: on a pad a strike is longer and lower than on a bare target."
        )
        flags.append(Flag("pad-not-said", told))
    elif pad.strip().lower() != BARE:
        told = f"Measured on a plate with a pad ({pad}): on a bare target the strike is shorter and higher."
        flags.append(Flag("struck-on-pad", told))
    if count < _PAIR:
        told = "One strike shows no scatter: the chance is that of this strike, done again alike."
        flags.append(Flag("one-strike", told))
    return flags


def _mass_flags(mass: float | None, speed: float | None) -> tuple[Flag, ...]:
    if mass is not None or speed is not None:
        return ()
    known = row("breaking_choices", "striker mass")
    return (
        Flag(
            "mass-assumed",
            f"Neither mass nor speed of the striker is known: {known['value']:g} kg give or take "
            f"{known['spread']:g} kg was taken, as measured in straight punches.",
        ),
    )


def _speed_flags(peak: float, duration: float, mass: Lognormal) -> tuple[Flag, ...]:
    return doubt_speed(peak * duration / (math.pi * mass.median), mass.median)


def _log_spread(scatter: float) -> float:
    return math.sqrt(math.log1p(scatter * scatter))
