"""What the drawing of forces on the plate and on a body part shows; ``report.figures`` draws it."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.report.drawing import Axis, Point, Words


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedRow:
    """A strike on the plate and on the part.

    Parameters
    ----------
    label : str
    measured : Point
        Peak force on the plate with its interval. [N]
    band : Point or None
        Modelled peak force on the part: median and band; ``is_bound`` where only a lower end is known,
        None where nothing is known of the striker. [N]
    limits : (float, float or None)
        What holds whatever struck; None where there is no upper end. [N]
    """

    label: str
    measured: Point
    band: Point | None
    limits: tuple[float, float | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateAndPart:
    """Peak forces on the plate, measured, beside those on a part of the body, modelled.

    Parameters
    ----------
    words : Words
    axes : (Axis, Axis)
        Below and above; the scale begins at nought.
    part : str
    rows : tuple of CarriedRow
    """

    words: Words
    axes: tuple[Axis, Axis]
    part: str
    rows: tuple[CarriedRow, ...]
