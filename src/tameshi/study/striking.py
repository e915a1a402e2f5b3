"""Strikes of a study as what is to break targets: by technique, and never through different pads together."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import from_record
from tameshi.study.describe import Recording
from tameshi.study.measure import CURVES, Measurement, unpacked
from tameshi.target.breaking import PlateStrike, SeenStrike, course_of, measured_strike

Strikes = Sequence[tuple[Recording, Measurement]]


def techniques_of(strikes: Strikes) -> tuple[str, ...]:
    """Return the techniques that measured recordings of a study name, in order of first use."""
    named = (recording.description.technique for recording, outcome in strikes if outcome.error is None)
    return tuple(dict.fromkeys(technique for technique in named if technique))


def strike_of_technique(
    strikes: Strikes, technique: str | None, *, mass: float | None = None, speed: float | None = None
) -> PlateStrike:
    """Return the next strike of a technique.

    Parameters
    ----------
    strikes : sequence of (Recording, Measurement)
        All of a study.
    technique : str or None
        May be left out where the study knows only one.
    mass, speed : float or None
        Effective mass or speed at contact; without either the speed that the recordings say. [kg], [m/s]

    Raises
    ------
    WrongUseError
        ``technique-unclear``, ``unknown-technique``, ``pads-differ``, ``mass-and-speed``, ``wrong-mass``.
    UnmeasurableError
        ``no-strike``, ``no-known-peak``.
    """
    chosen = technique_named(strikes, technique)
    fitting = [outcome for _, outcome in strikes_of(strikes, chosen)]
    pads = {outcome.body["recording"]["pad"] for outcome in fitting if outcome.body["strikes"]}
    if len(pads) > 1:
        named = ", ".join(sorted(pad or "not said" for pad in pads))
        raise WrongUseError(
            "pads-differ",
            f"Strikes of {chosen!r} were measured through different pads ({named}), which do not compare.",
            hint="Give one --recording instead.",
        )
    seen = [strike for outcome in fitting for strike in _seen(outcome)]
    if not seen:
        raise UnmeasurableError(
            "no-strike", f"The study holds no measured strike of {chosen!r}.", hint="See tameshi study show."
        )
    if mass is None and speed is None:
        speed = speed_said(strikes, chosen)
    return measured_strike(seen, mass=mass, speed=speed, pad=pads.pop())


def strikes_of(strikes: Strikes, technique: str) -> tuple[tuple[Recording, Measurement], ...]:
    """Return the measured recordings of a technique."""
    return tuple(
        (recording, outcome)
        for recording, outcome in strikes
        if outcome.error is None and recording.description.technique == technique
    )


def speed_said(strikes: Strikes, technique: str) -> float | None:
    """Return the speed at contact that the recordings of a technique say, None where none says one.

    The geometric mean over the strikes of those that do. [m/s]
    """
    said = [
        (recording.description.speed, len(outcome.body["strikes"]))
        for recording, outcome in strikes_of(strikes, technique)
        if recording.description.speed is not None and outcome.body["strikes"]
    ]
    if not said:
        return None
    total = sum(count for _, count in said)
    return math.exp(sum(count * math.log(speed) for speed, count in said) / total)


def technique_named(strikes: Strikes, technique: str | None) -> str:
    """Return the technique that is meant: the one named, or the only one there is.

    Raises
    ------
    WrongUseError
        ``technique-unclear``, ``unknown-technique``.
    """
    known = techniques_of(strikes)
    listed = f"Techniques: {', '.join(known) or 'none'}."
    if technique is None:
        if len(known) != 1:
            told = f"The study holds strikes of {len(known)} techniques."
            raise WrongUseError("technique-unclear", told, hint=f"Give one with --technique. {listed}")
        return known[0]
    if technique not in known:
        raise WrongUseError("unknown-technique", f"The study has no technique {technique!r}.", hint=listed)
    return technique


def _seen(outcome: Measurement) -> list[SeenStrike]:
    curves = unpacked(outcome.files[CURVES])
    return [
        SeenStrike(
            from_record(strike["peak_force"]),
            from_record(strike["impulse_to_peak"]),
            course_of(
                curve["start"],
                curve["rate"],
                curve["force"],
                onset=float(strike["onset"]),
                end=float(strike["end"]),
            ),
        )
        for strike, curve in zip(outcome.body["strikes"], curves, strict=True)
    ]
