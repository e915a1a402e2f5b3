"""Can this rig measure such a strike? Each limit on its own line, and all of them together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tameshi.errors import UnmeasurableError
from tameshi.reference import row
from tameshi.rig.model import Rig
from tameshi.rig.planning.expected import ExpectedStrike
from tameshi.rig.planning.limits import LIMITS, WORST, Limit, Verdict, case_of, cell_of
from tameshi.rig.planning.reading import Effect, Seen, effect_of_chain, read_strike

_FEWEST_QUIET = 64
_MIDDLE_OF_NORMAL = 1.349  # distance of its quartiles, in standard deviations


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RigCheck:
    """What a rig can do for an expected strike.

    Parameters
    ----------
    rig : str
        Its name.
    strike : ExpectedStrike
    verdict : "met", "tight" or "not met"
        The worst of the limits.
    limits : tuple of Limit
    together : Effect
        What cell, low-pass, end of range and sampling do to the raw reading together, at worst.
    seen : Seen
        The strike and the raw reading of it, for drawing.
    rate : float
        Of the converter. [Hz]
    ends : tuple of (str, float)
        Forces at which something ends: capacity, converter, known loads. [N]
    """

    rig: str
    strike: ExpectedStrike
    verdict: Verdict
    limits: tuple[Limit, ...]
    together: Effect
    seen: Seen
    rate: float
    ends: tuple[tuple[str, float], ...]


def check_rig(rig: Rig, strike: ExpectedStrike, *, noise: float | None = None) -> RigCheck:
    """Return every limit of a rig for an expected strike.

    Parameters
    ----------
    rig : Rig
    strike : ExpectedStrike
    noise : float or None
        Standard deviation of a quiet sample; that of the rig file where None. [V]

    Notes
    -----
    Valid for one smooth contact and a low-pass of second order. What is told is the raw reading;
    tameshi undoes the cell's response afterwards where its natural frequency is known.
    """
    case = case_of(rig, strike, noise)
    limits = tuple(test(case) for test in LIMITS)
    seen = read_strike(strike, cell=cell_of(rig), low_pass=rig.amplifier.low_pass, ends_at=case.room)
    ends = [("cell capacity", rig.cell.capacity), ("converter's range", case.room)]
    if rig.calibration is not None:
        ends.append(("greatest known load", rig.calibration.greatest))
    return RigCheck(
        rig=rig.name,
        strike=strike,
        verdict=max((limit.verdict for limit in limits), key=WORST.index),
        limits=limits,
        together=effect_of_chain(seen, rate=rig.converter.rate, duration=strike.duration),
        seen=seen,
        rate=rig.converter.rate,
        ends=tuple(ends),
    )


def quiet_noise(samples: ArrayLike) -> float:
    """Return the standard deviation of a quiet recording's samples about their straight line.

    Parameters
    ----------
    samples : (n,) array
        In any unit.

    Raises
    ------
    UnmeasurableError
        ``too-short``, or ``not-quiet`` where something happens in it.
    """
    values = np.asarray(samples, dtype=np.float64)
    values = values[np.isfinite(values)]
    if len(values) < _FEWEST_QUIET:
        raise UnmeasurableError(
            "too-short",
            f"The quiet recording holds {len(values)} readings; {_FEWEST_QUIET} are needed.",
            hint="Record a few seconds while nothing touches the plate.",
        )
    place = np.arange(len(values), dtype=np.float64)
    left = values - np.polynomial.Polynomial.fit(place, values, 1)(place)
    noise = float(np.std(left))
    low, high = np.percentile(left, (25.0, 75.0))
    middle = float(high - low) / _MIDDLE_OF_NORMAL
    if middle > 0.0 and noise > row("rig_limits", "quiet")["value"] * middle:
        raise UnmeasurableError(
            "not-quiet",
            "Something happens in the quiet recording: its extremes are far beyond its middle.",
            hint="Record again while nobody touches the rig, or cut out the quiet part.",
        )
    return noise
