"""Undo the cell's response under one event, as far as the recording allows.

The inverse lifts noise the more the wider its low-pass. The widest corner is taken that leaves the
noise small beside the peak; what the choice of corner and the uncertainty of natural frequency and
damping do to the figures is found by doing it again with them moved.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tameshi.quantity import rectangular_u
from tameshi.reference import row
from tameshi.rig import Rig, noise_gain, recover_force

FloatArray = NDArray[np.float64]

_HIGHEST_NATURAL = 0.45  # of the rate: faster ringing cannot be told from its alias
_HIGHEST_CORNER = 0.40
_LEAST_CORNER_CYCLES = 1.5  # corner times duration
_ROUNDED_OFF = 0.17
_SMEARED = 0.02
_NOISE_WEIGHT = 0.5  # of single samples' noise that reaches a fitted peak
_FEWEST_CYCLES = 0.7
LOWERED = 0.7  # the corner moved, to see what it does
_RUNG = 1.2  # from one corner that is weighed to the next


@dataclass(frozen=True, slots=True)
class CellModel:
    """The second-order model used for one event.

    Parameters
    ----------
    natural_frequency, damping_ratio : float
        [Hz], 1
    corner : float
        Of the low-pass. [Hz]
    """

    natural_frequency: float
    damping_ratio: float
    corner: float

    def undo(self, reading: FloatArray, rate: float) -> FloatArray:
        """Return the force on the plate from the cell's reading."""
        return recover_force(reading, rate, self.natural_frequency, self.damping_ratio, self.corner)


@dataclass(frozen=True, slots=True)
class Correction:
    """What can be done about the cell under one event.

    Parameters
    ----------
    model : CellModel or None
        None where nothing is undone.
    moved : tuple of CellModel
        The model with natural frequency, damping and corner moved, each by its uncertainty.
    left : float
        Relative error of the peak that remains uncorrected.
    unseen : (float, float) or None
        Natural frequency and damping ratio of a ringing too fast for the rate to show. [Hz], 1
    refused : str
        Why no peak can be given, empty where one can.
    overshoot : float
        By how much, as a share, the cell's reading may exceed the force.
    """

    model: CellModel | None
    moved: tuple[CellModel, ...] = ()
    left: float = 0.0
    unseen: tuple[float, float] | None = None
    refused: str = ""
    overshoot: float = 0.0


def plan_correction(rig: Rig | None, rate: float, duration: float, noise_to_peak: float) -> Correction:
    """Return how to treat the cell's response under an event.

    Parameters
    ----------
    rig : Rig or None
    rate : float
        [Hz]
    duration : float
        Estimated contact duration. [s]
    noise_to_peak : float
        Standard deviation of single samples over the peak reading.
    """
    natural = rig.cell.natural_frequency if rig else None
    if rig is None or natural is None:
        return Correction(None)
    damping = rig.cell.damping_ratio or 0.0
    cycles = natural * duration
    refused = ""
    if cycles < _FEWEST_CYCLES:
        refused = (
            f"the cell's natural frequency of {natural:.0f} Hz is too low for a pulse of about "
            f"{1e3 * duration:.1f} ms: it swings {cycles:.2f} times in it, and at least {_FEWEST_CYCLES} are "
            "needed to work backwards"
        )
    if natural > _HIGHEST_NATURAL * rate:
        overshoot = _overshoot(cycles, damping)
        return Correction(
            None, left=overshoot, unseen=(natural, damping), refused=refused, overshoot=overshoot
        )
    corner = _corner(natural, damping, rate, duration, noise_to_peak)
    model = CellModel(natural, damping, corner)
    # even where no figure can be given, undoing the cell tells its ringing from strikes
    return Correction(
        model,
        moved=_moved(rig, natural, damping, corner),
        refused=refused,
        overshoot=_overshoot(cycles, damping),
    )


@dataclass(frozen=True, slots=True)
class Unseen:
    """A ringing too fast for the rate to show.

    Parameters
    ----------
    height : float
        Of its first swing. [N]
    adds_up : float
        Over how many samples it may add up.
    fading : float
        [1/s]
    """

    height: float = 0.0
    adds_up: float = 0.0
    fading: float = 0.0


def unseen_ringing(correction: Correction, kinks: float, rate: float) -> Unseen:
    """Return how high a ringing too fast for the rate may be, and how long it may add up.

    A change of slope by s sets off a ringing of amplitude s/(2 pi f). Sampled, it passes for a slow swing
    (for a steady level, where its frequency is a multiple of the rate), and so does not cancel in an area.

    Parameters
    ----------
    correction : Correction
    kinks : float
        Changes of slope, from sample to sample. [N a sample]
    rate : float
        [Hz]

    Returns
    -------
    Unseen
    """
    if correction.unseen is None:
        return Unseen()
    natural, damping = correction.unseen
    turn = 2.0 * math.pi * natural / rate
    step = np.exp(turn * (1j * math.sqrt(max(0.0, 1.0 - damping**2)) - damping))
    return Unseen(kinks / turn, 1.0 / max(float(abs(1.0 - step)), 1e-9), damping * turn * rate)


def _overshoot(cycles: float, damping: float) -> float:
    """Return how far a cell may overshoot the top of a pulse: its ringing since the onset, faded."""
    return 0.5 / cycles * math.exp(-math.pi * damping * cycles)


def _corner(natural: float, damping: float, rate: float, duration: float, noise_to_peak: float) -> float:
    """Return the corner that balances what it rounds off against the noise it lets through.

    With x the corner times the duration, a haversine loses 0.17/x^4 of its peak (derived by
    filtering one), and a contact's feet are smeared by a share of 1/x.
    """
    highest = _HIGHEST_CORNER * rate
    least = min(_LEAST_CORNER_CYCLES / duration, highest)

    def cost(corner: float) -> float:
        cycles = corner * duration
        noise = _NOISE_WEIGHT * noise_to_peak * _gain(rate, natural, damping, corner)
        return math.hypot(_ROUNDED_OFF / cycles**4, _SMEARED / cycles, noise)

    # from one fixed ladder, so that strikes of a recording share what is worked out for its rungs
    rungs = max(1, math.floor(math.log(highest / least) / math.log(_RUNG)) + 1)
    return min((highest / _RUNG**rung for rung in range(rungs)), key=cost)


_gain = lru_cache(maxsize=4096)(noise_gain)


def _moved(rig: Rig, natural: float, damping: float, corner: float) -> tuple[CellModel, ...]:
    u_natural = rig.cell.natural_frequency_u or natural * rectangular_u(
        row("chain_defaults", "natural-frequency")["half_width"]
    )
    u_damping = rig.cell.damping_ratio_u or damping * rectangular_u(
        row("chain_defaults", "damping-ratio")["half_width"]
    )
    return (
        CellModel(natural + u_natural, damping, corner),
        CellModel(natural, damping + u_damping, corner),
        CellModel(natural, damping, LOWERED * corner),
    )
