"""What is refused as a slip, or doubted: sizes nobody strikes, strikes nobody makes.

The limits are wide and ours; beyond them a wrong unit or a wrong digit is likelier than the thing itself.
"""

from __future__ import annotations

from tameshi.errors import Flag, WrongUseError
from tameshi.reference import row
from tameshi.target.breaking.target import Size, Support, Target

_LENGTHS = ("width", "length", "diameter", "span")


def refuse_size(size: Size, support: Support, *, where: str) -> None:
    """Refuse a target that nobody strikes, or that is too thick for its span to bend.

    Raises
    ------
    WrongUseError
        ``wrong-size``.
    """
    told = {"thickness": size.thickness, "width": size.width, "length": size.length}
    told |= {"diameter": size.diameter, "span": support.span}
    for name, value in told.items():
        if value is None:
            continue
        limits = row("breaking_choices", f"{'length' if name in _LENGTHS else name} that is told")
        if not limits["least"] <= value <= limits["greatest"]:
            raise WrongUseError(
                "wrong-size",
                f"{where}: a {name} of {1e3 * value:.3g} mm is no target's; {1e3 * limits['least']:g} to "
                f"{1e3 * limits['greatest']:g} mm are taken.",
                hint="Look at the unit, and at the decimal point.",
            )
    shortest = min(value for name in _LENGTHS if (value := told[name]) is not None and name != "width")
    shortest = min(shortest, size.width) if support.span is None and size.width else shortest
    if size.thickness >= float(row("breaking_choices", "no beam")["value"]) * shortest:
        raise WrongUseError(
            "wrong-size",
            f"{where}: {1e3 * size.thickness:.3g} mm thick and {1e3 * shortest:.3g} mm from support to "
            "support: that does not bend.",
            hint="Thickness is measured in the direction of the strike, not across it. Look at the unit.",
        )


def doubt_width(target: Target) -> tuple[Flag, ...]:
    """Return a flag where a target on two edges is so wide that a strike bends only a part of it."""
    span, width = target.support.span, target.size.width
    limit = float(row("breaking_choices", "wide beam")["value"])
    if not target.is_beam or not span or not width or width <= limit * span:
        return ()
    told = (
        f"The target is {width / span:.2g} times as wide as its span: a strike on one place does not bend "
        "all of it, so it breaks under less than is told here, and only there."
    )
    return (Flag("wide-target", told),)


def doubt_speed(speed: float, mass: float) -> tuple[Flag, ...]:
    """Return a flag where a striker would be faster than any that was published; refuse the impossible.

    Parameters
    ----------
    speed : float
        At contact, by the medians. [m/s]
    mass : float
        Behind the strike. [kg]

    Raises
    ------
    WrongUseError
        ``implausible-strike``.
    """
    limits = row("breaking_choices", "striker speed")
    if speed > limits["greatest"]:
        raise WrongUseError(
            "implausible-strike",
            f"With {mass:.2g} kg behind it this strike would have to arrive at {speed:.3g} m/s; published "
            "kicks reach 18 m/s.",
            hint="Look at the units of peak, duration, mass and speed.",
        )
    if speed <= limits["value"]:
        return ()
    told = (
        f"With {mass:.2g} kg behind it the strike would have to arrive at {speed:.3g} m/s, and published "
        "kicks reach 18 m/s: more mass pushes than was taken, or peak or duration is wrong."
    )
    return (Flag("fast-striker", told),)


def refuse_scatter(scatter: float) -> None:
    """Refuse a scatter from strike to strike that is none.

    Raises
    ------
    WrongUseError
        ``wrong-scatter``.
    """
    greatest = float(row("breaking_choices", "greatest scatter")["value"])
    if not 0.0 <= scatter <= greatest:
        raise WrongUseError(
            "wrong-scatter",
            f"A scatter of {scatter:.3g} times the peak is none: 0 to {100.0 * greatest:g} % are taken.",
            hint="It is the standard deviation from strike to strike over the mean, mostly 5 to 20 %.",
        )
