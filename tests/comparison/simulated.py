"""Studies whose truth is known."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tameshi.comparison import Trial
from tameshi.quantity import Quantity, Source


@dataclass(frozen=True)
class Scatter:
    """Standard deviations by what causes them: athletes, their leaning to a technique, sessions, strikes."""

    athlete: float = 400.0
    leaning: float = 80.0
    session: float = 60.0
    strike: float = 150.0


def trial(value, *, athlete="A1", session="s1", order=0.0, key=None, cal=0.0, own=5.0):
    name = key or f"{athlete}/{session}/{order}/{value}"
    parts = {Source(f"noise:{name}", "noise"): own}
    if cal:
        parts[Source("cal", "calibration")] = cal * value
    return Trial(value=Quantity(value, "N", parts), athlete=athlete, session=session, order=order, label=name)


def study(rng, athletes, sessions, strikes, *, gap=0.0, scatter=None, uneven=True):
    """Two techniques struck by the same athletes in the same sessions; the first greater by the gap."""
    scatter = scatter or Scatter()
    sides: tuple[list[Trial], list[Trial]] = ([], [])
    for who in range(athletes):
        level = 3000.0 + rng.normal(0.0, scatter.athlete)
        leaning = gap + rng.normal(0.0, scatter.leaning)
        for day in range(sessions):
            today = rng.normal(0.0, scatter.session)
            for side in (0, 1):
                for number in range(strikes + (int(rng.integers(0, 3)) if uneven else 0)):
                    value = level + today + leaning * (side == 0) + rng.normal(0.0, scatter.strike)
                    sides[side].append(
                        trial(
                            value,
                            athlete=f"A{who}",
                            session=f"s{day}",
                            order=float(number),
                            key=f"{who}/{day}/{side}/{number}",
                        )
                    )
    return sides


def values_as_trials(values, *, athlete="A1", session="s1", key=""):
    return [
        Trial(
            value=Quantity(float(value), "N", {Source(f"{key}{athlete}{session}{place}", "noise"): 1e-9}),
            athlete=athlete,
            session=session,
            order=float(place),
        )
        for place, value in enumerate(np.asarray(values, np.float64).tolist())
    ]
