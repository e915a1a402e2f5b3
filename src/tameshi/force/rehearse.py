"""Check the budgets of a recording's strikes by Monte Carlo: the same strikes again, with errors drawn anew.

Each strike's own force curve is taken as the truth. It is led through the cell, sampled at a chance phase,
given noise like that of its surroundings, errors of the conversion drawn from their budgets, and the
converter's steps; then it is measured as if it had been recorded. How far the results scatter about the
truth, and how many of their intervals hold it, is what the budgets are held against.

What is not known cannot be drawn: without a natural frequency in the rig file the cell's own response is
left out, on both sides.

Source of the approach: JCGM 101:2008, clause 8, validation of the uncertainty framework by simulation.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.force.figures.context import Context
from tameshi.force.figures.judge import judge
from tameshi.force.figures.measure import Found
from tameshi.force.recorded import contacts_of, is_spike, open_recording
from tameshi.force.restage import record_again, stage
from tameshi.force.settings import Settings
from tameshi.force.strike import FIGURES, Rehearsed, Strike
from tameshi.force.trace import Trace
from tameshi.quantity import Quantity
from tameshi.rig import Conversion, Rig

DRAWS = 200
"""How often each strike is simulated, unless told."""


def rehearse(
    trace: Trace,
    conversion: Conversion,
    *,
    rig: Rig | None = None,
    settings: Settings | None = None,
    draws: int = DRAWS,
    generator: np.random.Generator,
) -> tuple[Rehearsed, ...]:
    """Check the budget of every figure of every strike in a recording by Monte Carlo.

    Parameters
    ----------
    trace, conversion, rig, settings
        As for :func:`reduce_trace`.
    draws : int
        How often each strike is simulated.
    generator : numpy Generator
        Randomness is given, never taken.

    Returns
    -------
    tuple of Rehearsed
        Figures that were refused, and strikes that an AC coupling or a gap has spoilt, are left out.

    Raises
    ------
    WrongUseError
        ``check-behind-filter`` where the settings ask for a channel class: its curve is no longer the force
        that the cell met.
    """
    settings = settings or Settings()
    if settings.channel_class is not None:
        raise WrongUseError(
            "check-behind-filter",
            "Budgets are checked on the unfiltered recording.",
            hint="Leave the channel class out for the check.",
        )
    located, context = open_recording(trace, conversion, rig=rig, settings=settings)
    rehearsed: list[Rehearsed] = []
    index = 0
    for found, here in contacts_of(trace, located, context):
        if is_spike(found):
            continue
        index += 1
        if not (found.ac_constant or found.has_gap or found.is_truncated or found.is_clipped):
            strike, _ = judge(found, index, context.settings)
            rehearsed += _rehearsed(found, strike, here, draws, generator)
    return tuple(rehearsed)


def _rehearsed(
    found: Found, strike: Strike, context: Context, draws: int, generator: np.random.Generator
) -> Iterator[Rehearsed]:
    staged = stage(found, context)
    if staged is None:
        return
    outcomes: dict[str, list[tuple[float, bool]]] = {name: [] for name in FIGURES}
    for _ in range(draws):
        again = record_again(found, staged, context, generator)
        if again is None:
            continue
        for name in FIGURES:
            measured = again.figure(name)
            if isinstance(measured, Quantity):
                right = staged.figure(name, again.loading_span)
                outcomes[name].append((measured.value - right, measured.low <= right <= measured.high))
    yield from _summed_up(strike, outcomes)


def _summed_up(strike: Strike, outcomes: dict[str, list[tuple[float, bool]]]) -> Iterator[Rehearsed]:
    for name, drawn in outcomes.items():
        measured = strike.figure(name)
        if not (drawn and isinstance(measured, Quantity)):
            continue
        errors = np.array([error for error, _ in drawn])
        yield Rehearsed(
            strike=strike.index,
            figure=name,
            value=measured.value,
            u=measured.u,
            scatter=float(np.sqrt(np.mean(errors**2))),
            bias=float(np.mean(errors)),
            held=float(np.mean([held for _, held in drawn])),
            draws=len(drawn),
        )
