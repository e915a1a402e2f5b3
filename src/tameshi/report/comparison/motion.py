"""From speeds and effective masses to their plane, with lines of equal momentum and energy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.comparison import Trial, together
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity
from tameshi.report.comparison.drawings import SpeedMass
from tameshi.report.comparison.plane import cloud_of, ends_of, levels
from tameshi.report.curves import axes_of
from tameshi.report.drawing import Words
from tameshi.report.notation import Notation

_MOST_OF_EACH = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moved:
    """The speed of a strike at contact and the mass that stood behind it.

    Parameters
    ----------
    group : str
        Technique, say.
    speed : Quantity
        [m/s]
    mass : Quantity
        Effective mass. [kg]
    athlete, label : str
    is_invented : bool
        Whether it was made up, for a demonstration; the drawing then says so.
    """

    group: str
    speed: Quantity
    mass: Quantity
    athlete: str = ""
    label: str = ""
    is_invented: bool = False


def speed_mass(strikes: Sequence[Moved], notation: Notation, *, key: str = "speed-mass") -> SpeedMass | None:
    """Return the drawing of speed against effective mass; None of no strikes.

    Parameters
    ----------
    strikes : sequence of Moved
        Of values above zero.
    notation : Notation
    key : str
    """
    if not strikes:
        return None
    clouds = []
    for place, name in enumerate(dict.fromkeys(one.group for one in strikes)):
        own = [one for one in strikes if one.group == name]
        masses, speeds = ([_trial(one, of) for one in own] for of in ("mass", "speed"))
        try:
            found = together(masses, speeds)
        except UnmeasurableError:
            found = None
        clouds.append(cloud_of(name, (masses, speeds), found, place))
    momentum = ends_of(clouds, lambda mass, speed: mass * speed)
    energy = ends_of(clouds, lambda mass, speed: 0.5 * mass * speed**2)
    return SpeedMass(
        words=_words(strikes, key),
        across=axes_of("effective mass", "kg", notation),
        up=axes_of("speed at contact", "m/s", notation),
        clouds=tuple(clouds),
        momenta=levels(*momentum, "N s", notation.first, most=_MOST_OF_EACH),
        energies=levels(*energy, "J", notation.first, most=_MOST_OF_EACH),
    )


def _trial(one: Moved, of: str) -> Trial:
    return Trial(value=one.mass if of == "mass" else one.speed, athlete=one.athlete, label=one.label)


def _words(strikes: Sequence[Moved], key: str) -> Words:
    invented = " Invented figures." if any(one.is_invented for one in strikes) else ""
    counts = {
        name: sum(one.group == name for one in strikes) for name in {one.group: None for one in strikes}
    }
    told = "; ".join(f"{name}: {count} strikes" for name, count in counts.items())
    return Words(
        key=key,
        title=f"Speed against effective mass{' (invented figures)' if invented else ''}",
        alternative=f"Points on logarithmic scales. {told}.{invented}",
        caption=(
            "Each strike is a point with its 95 % intervals; ellipse: their scatter, as in the plane of "
            "force and "
            "area. Broken lines: equal momentum, which the impulse on the plate shows. Dotted lines: "
            f"equal energy. Effective mass is a figure of a model: momentum over speed.{invented}"
        ),
    )
