"""Forces on a plate, and what is true of them.

Closed-form pulses, and a striking mass on a non-linear damped contact (Hunt and Crossley's law),
integrated. The truth of a force is found on a fine grid by the definitions of docs/results.md, by
code that shares nothing with the code it checks.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Force = Callable[[FloatArray], FloatArray]
ONSET_SHARE = 0.05
_TRUTH_STEPS = 400_001


@dataclass(frozen=True, slots=True)
class Truth:
    """What is true of one contact; times from the start of the recording. [s, N]"""

    onset: float
    end: float
    peak_force: float
    peak_time: float
    rise_time: float
    impulse: float
    impulse_to_peak: float

    @property
    def time_to_peak(self) -> float:
        """From onset to peak. [s]"""
        return self.peak_time - self.onset

    @property
    def contact_duration(self) -> float:
        """From onset to end. [s]"""
        return self.end - self.onset


def half_sine(peak: float, duration: float, start: float) -> Force:
    """Return a half-sine pulse."""
    return lambda t: np.where(
        _inside(t, start, duration), peak * np.sin(math.pi * (t - start) / duration), 0.0
    )


def haversine(peak: float, duration: float, start: float) -> Force:
    """Return a haversine pulse."""
    return lambda t: np.where(
        _inside(t, start, duration), peak * np.sin(math.pi * (t - start) / duration) ** 2, 0.0
    )


def skewed(peak: float, duration: float, start: float, *, early: float = 1.2, late: float = 2.6) -> Force:
    """Return a pulse x^a (1 - x)^b, whose peak lies at a / (a + b) of its duration."""
    top = (early / (early + late)) ** early * (late / (early + late)) ** late

    def force(t: FloatArray) -> FloatArray:
        x = np.clip((t - start) / duration, 0.0, 1.0)
        pulse: FloatArray = peak * x**early * (1.0 - x) ** late / top
        return pulse

    return force


def together(forces: Sequence[Force]) -> Force:
    """Return the sum of several forces."""
    return lambda t: np.sum([force(t) for force in forces], axis=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrikingMass:
    """A mass that hits the plate through soft tissue.

    Parameters
    ----------
    mass, speed : float
        Effective mass and speed at contact. [kg, m/s]
    stiffness, exponent : float
        F = k x^n. [N/m^n]
    loss : float
        Hunt-Crossley loss: F = k x^n (1 + loss dx/dt). [s/m]
    push : float
        Muscle force that keeps pushing while in contact. [N]
    """

    mass: float
    speed: float
    stiffness: float
    exponent: float = 1.5
    loss: float = 0.05
    push: float = 0.0


def contact_force(striker: StrikingMass, start: float, *, longest: float = 0.3) -> Force:
    """Return the force on a rigid plate struck by a mass, zero before contact and after it.

    Notes
    -----
    Source: K. H. Hunt, F. R. E. Crossley, J. Appl. Mech. 42 (1975) 440-445 (value from memory),
    integrated numerically.
    """
    from scipy.integrate import solve_ivp  # noqa: PLC0415  heavy, and only the demo needs it

    def law(depth: FloatArray, speed: FloatArray) -> FloatArray:
        spring = striker.stiffness * np.maximum(depth, 0.0) ** striker.exponent
        pressed: FloatArray = np.maximum(spring * (1.0 + striker.loss * speed), 0.0)
        return pressed

    def motion(_time: float, state: FloatArray) -> list[float]:
        force = float(law(state[0], state[1]))
        return [state[1], (striker.push - force) / striker.mass]

    def leaves(_time: float, state: FloatArray) -> float:
        return float(state[0]) + 1e-12

    leaves.terminal, leaves.direction = True, -1.0  # type: ignore[attr-defined]
    solved = solve_ivp(
        motion,
        (0.0, longest),
        [0.0, striker.speed],
        events=leaves,
        dense_output=True,
        rtol=1e-9,
        atol=1e-12,
        max_step=2e-4,
    )
    duration = float(solved.t[-1])

    def force(t: FloatArray) -> FloatArray:
        within = _inside(t, start, duration)
        pulse = np.zeros(len(t))
        if within.any():  # the solution cannot be asked for no time at all
            depth, speed = solved.sol(t[within] - start)
            pulse[within] = law(depth, speed)
        return pulse

    return force


def truth_of(force: Force, begin: float, until: float) -> Truth:
    """Return what is true of the one contact between two times."""
    time = np.linspace(begin, until, _TRUTH_STEPS)
    value = force(time)
    top = int(np.argmax(value))
    peak = float(value[top])
    contact = np.flatnonzero(value >= ONSET_SHARE * peak)
    onset = _crossing(time, value, contact[0], ONSET_SHARE * peak)
    end = _crossing(time, value, contact[-1] + 1, ONSET_SHARE * peak)
    rise = _walk_back(time, value, top, 0.9 * peak) - _walk_back(time, value, top, 0.1 * peak)
    step = time[1] - time[0]
    return Truth(
        onset=onset,
        end=end,
        peak_force=peak,
        peak_time=float(time[top]),
        rise_time=rise,
        impulse=float(np.trapezoid(value, dx=step)),
        impulse_to_peak=float(np.trapezoid(value[: top + 1], dx=step)),
    )


def _inside(t: FloatArray, start: float, duration: float) -> NDArray[np.bool_]:
    return (t >= start) & (t <= start + duration)


def _crossing(time: FloatArray, value: FloatArray, index: int, level: float) -> float:
    """Return where the line between two samples meets a level."""
    before, after = value[index - 1], value[index]
    share = (level - before) / (after - before) if after != before else 0.0
    return float(time[index - 1] + share * (time[index] - time[index - 1]))


def _walk_back(time: FloatArray, value: FloatArray, top: int, level: float) -> float:
    below = np.flatnonzero(value[:top] < level)
    return _crossing(time, value, below[-1] + 1, level)
