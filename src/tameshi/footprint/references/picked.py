"""Points that somebody picked in a picture, with their places on the paper."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from tameshi.errors import WrongUseError
from tameshi.quantity import parse_quantity

_FORM = '"812,455=0 mm,100 mm"'
_POINT = re.compile(r"^\s*(-?[0-9.]+)\s*[,;]\s*(-?[0-9.]+)\s*=\s*([^,;]+?)\s*[,;]\s*([^,;]+?)\s*$")
_MOST_PIXELS = 50.0


@dataclass(frozen=True, slots=True)
class PickedPoint:
    """One point: where it is in the picture and where on the paper.

    Parameters
    ----------
    seen : (float, float)
        Across and down in the picture, in pixels; the middle of the first pixel is (0, 0).
    place : (float, float)
        Across and down on the paper, in metres, from any corner.
    """

    seen: tuple[float, float]
    place: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """Points picked by hand, and how well.

    Parameters
    ----------
    points : tuple of PickedPoint
    within : float
        Half width within which each was picked, across and down, in pixels.
    placed_within : float or None
        Half width within which their places on the paper are known, in metres; None takes a ruler's.
    """

    points: tuple[PickedPoint, ...]
    within: float = 2.0
    placed_within: float | None = None

    def __post_init__(self) -> None:
        """Refuse doubts that cannot be meant."""
        if not 0.0 < self.within <= _MOST_PIXELS:
            raise WrongUseError(
                "wrong-point",
                f"Points cannot have been picked to within {self.within:g} pixels.",
                hint=f"Give a number above 0 and up to {_MOST_PIXELS:.0f}.",
            )
        if self.placed_within is not None and not 0.0 <= self.placed_within < 1.0:
            raise WrongUseError(
                "wrong-point",
                f"Places on the paper cannot be known to within {self.placed_within:g} m.",
                hint='Give a small length: "0.5 mm".',
            )

    def as_dict(self) -> dict[str, Any]:
        """Return the points for storing, in pixels and metres; :func:`picked_from` reads them back."""
        return {
            "points": [{"seen": list(point.seen), "place": list(point.place)} for point in self.points],
            "within": self.within,
            "placed_within": self.placed_within,
        }


def picked_from(kept: Mapping[str, Any]) -> Picked:
    """Return points as :meth:`Picked.as_dict` wrote them.

    Raises
    ------
    WrongUseError
        ``wrong-point`` where it is no such record.
    """
    try:
        points = tuple(PickedPoint(_pair(point["seen"]), _pair(point["place"])) for point in kept["points"])
        placed = kept["placed_within"]
        within = float(kept["within"])
        return Picked(points=points, within=within, placed_within=None if placed is None else float(placed))
    except (TypeError, ValueError, KeyError) as error:
        raise WrongUseError(
            "wrong-point",
            f"The points kept with the print cannot be read: {error}.",
            hint="Pick them again.",
        ) from error


def _pair(kept: Iterable[Any]) -> tuple[float, float]:
    first, second = kept
    return float(first), float(second)


def parse_points(texts: Iterable[str]) -> tuple[PickedPoint, ...]:
    """Return typed points.

    Parameters
    ----------
    texts : iterable of str
        Each as ``"812,455=0 mm,100 mm"``: across and down in pixels, then on the paper.

    Raises
    ------
    WrongUseError
        If one is of another form.
    UnitError
        If a length has no unit, or one of another kind.
    """
    return tuple(_point(text) for text in texts)


def _point(text: str) -> PickedPoint:
    match = _POINT.match(text)
    if match is None:
        raise _wrong(text)
    try:
        seen = float(match[1]), float(match[2])
    except ValueError as error:
        raise _wrong(text) from error
    return PickedPoint(seen, (parse_quantity(match[3], "length"), parse_quantity(match[4], "length")))


def _wrong(text: str) -> WrongUseError:
    return WrongUseError(
        "wrong-point",
        f"{text!r} is no point.",
        hint=f"Write across and down in pixels, then on the paper with units: {_FORM}.",
    )
