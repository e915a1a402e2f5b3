"""A check of the whole chain by momentum: a mass dropped on the plate must change its own by what is read.

While it touches the plate, the force adds up to m (v_before + v_after) and carries its weight besides,
m g for as long as it touches. Nothing of the chain enters that expectation but its clock, so the ratio
of read to expected tells of cell, amplifier, converter and calibration together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.quantity import Measured, Missing, Quantity, total
from tameshi.reference import row
from tameshi.rig.dropping.flight import Bounce, Fall, Flight, air_share, follow

_RATIO = "1"
_MOMENTUM = "N s"


@dataclass(frozen=True, slots=True, kw_only=True)
class BounceCheck:
    """One bounce: read against expected.

    Parameters
    ----------
    flight : Flight
    expected : Quantity or Missing
        Impulse it must have had; missing where a speed is not known. [N s]
    bounds : (float, float) or None
        Between which it must lie where no rebound was seen: the mass stayed, or left as fast as it
        came. [N s]
    restitution : Quantity or None
        Speed after over speed before.
    ratio : Quantity or Missing
        Measured over expected impulse.
    is_within : bool or None
        Whether the measured impulse, with its interval, reaches into the bounds.
    """

    flight: Flight
    expected: Measured
    bounds: tuple[float, float] | None
    restitution: Quantity | None
    ratio: Measured
    is_within: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DropCheck:
    """All bounces together.

    Parameters
    ----------
    fall : Fall
    bounces : tuple of BounceCheck
    ratio : Quantity or Missing
        Sum of measured over sum of expected impulses.
    air : float or None
        The most that air took from the speed of the fall, relative; None without a height.
    flags : tuple of Flag
    """

    fall: Fall
    bounces: tuple[BounceCheck, ...]
    ratio: Measured
    air: float | None
    flags: tuple[Flag, ...]


def check_drop(bounces: Sequence[Bounce], fall: Fall, *, rate: float) -> DropCheck:
    """Return what a chain read of a bouncing mass over what it must have read.

    Parameters
    ----------
    bounces : sequence of Bounce
        In order of time.
    fall : Fall
    rate : float
        Of the recording. [Hz]

    Raises
    ------
    UnmeasurableError
        ``no-bounce`` where there is none.
    WrongUseError
        ``wrong-mass`` or ``wrong-height`` where one is not above zero.

    Notes
    -----
    Valid for a free, upright fall onto a plate that stays where it is; friction of a guide and a mass
    that topples make the expectation too high. Source: conservation of momentum; derived.
    """
    if not bounces:
        raise UnmeasurableError(
            "no-bounce", "No contact of the mass was found.", hint="Check file and channel."
        )
    if fall.mass.value <= 0.0:
        raise WrongUseError("wrong-mass", "The mass must be above zero.", hint="Weigh it.")
    if fall.height is not None and fall.height.value <= 0.0:
        raise WrongUseError("wrong-height", "The height must be above zero.", hint="Measure it.")
    checks = tuple(_checked(flight, fall) for flight in follow(bounces, fall, rate=rate))
    usable = [one for one in checks if isinstance(one.ratio, Quantity)]
    overall: Measured = Missing(
        _RATIO, "No bounce has both its speeds: record a rebound, or give the height it fell from."
    )
    if usable:
        measured = total(_sure(one.flight.bounce.impulse) for one in usable)
        overall = measured / total(_sure(one.expected) for one in usable)
    air = None if fall.height is None else air_share(fall.mass.value, fall.height.value)
    return DropCheck(fall=fall, bounces=checks, ratio=overall, air=air, flags=_flags(checks, usable, overall))


def agreement(ratio: Quantity) -> str:
    """Return a ratio of read to expected in plain words; it permits nothing."""
    off = 100.0 * (ratio.value - 1.0)
    way = "high" if off > 0.0 else "low"
    holds = "holds" if ratio.low <= 1.0 <= ratio.high else "does not hold"
    return (
        f"the chain reads {abs(off):.1f} % {way}; the 95 % interval {ratio.low:.3f} to {ratio.high:.3f} "
        f"{holds} 1"
    )


def _sure(measured: Measured) -> Quantity:
    assert isinstance(measured, Quantity)  # noqa: S101  only usable bounces come here
    return measured


def _checked(flight: Flight, fall: Fall) -> BounceCheck:
    """Return one bounce against what momentum asks."""
    before, after, read = flight.before, flight.after, flight.bounce.impulse
    weight = fall.mass * fall.gravity * flight.contact
    expected: Measured = Missing(_MOMENTUM, _why(flight))
    bounds = None
    if before is not None and after is not None:
        expected = fall.mass * (before + after) + weight
    elif before is not None:
        arriving = fall.mass * before
        low, high = arriving + weight, arriving * 2.0 + weight
        bounds = (low.low, high.high)
    ratio: Measured = Missing(_RATIO, _why(flight))
    if isinstance(read, Missing):
        ratio = Missing(_RATIO, read.why)
    elif isinstance(expected, Quantity):
        ratio = read / expected
    within = None
    if bounds is not None and isinstance(read, Quantity):
        within = read.high >= bounds[0] and read.low <= bounds[1]
    return BounceCheck(
        flight=flight,
        expected=expected,
        bounds=bounds,
        restitution=after / before if before is not None and after is not None else None,
        ratio=ratio,
        is_within=within,
    )


def _why(flight: Flight) -> str:
    if flight.before is None:
        return "The speed before this bounce is not known: no height was given and no flight came before it."
    return "No rebound was seen after it, so the mass left with any speed from nought to that it came with."


def _flags(checks: tuple[BounceCheck, ...], usable: list[BounceCheck], overall: Measured) -> tuple[Flag, ...]:
    flags = []
    for one in checks:
        index = one.flight.bounce.index
        if one.restitution is not None and one.restitution.value > row("drops", "rebound")["value"]:
            flags.append(
                Flag(
                    "rebound-too-high",
                    f"The mass left {one.restitution.value:.2f} times as fast as it came, which cannot be: "
                    "the height or the bounces are wrong.",
                    index,
                )
            )
        if one.is_within is False and one.bounds is not None:
            flags.append(
                Flag(
                    "outside-bounds",
                    f"Whatever the rebound, the impulse lies between {one.bounds[0]:.3g} and "
                    f"{one.bounds[1]:.3g} N s; the chain reads {_sure(one.flight.bounce.impulse).value:.3g}.",
                    index,
                )
            )
        if isinstance(overall, Quantity) and len(usable) > 1 and isinstance(one.ratio, Quantity):
            apart = one.ratio - overall
            if abs(apart.value) > row("drops", "agreement")["sigmas"] * apart.u:
                flags.append(
                    Flag(
                        "bounces-disagree",
                        f"This bounce alone gives {one.ratio.value:.3f}, all together {overall.value:.3f}.",
                        index,
                    )
                )
    if not usable:
        flags.append(Flag("no-rebound", "No bounce has both its speeds; only bounds could be checked."))
    return tuple(flags)
