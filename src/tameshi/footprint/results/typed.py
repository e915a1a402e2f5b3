"""Corrections by hand as somebody types them: numbers are millimetres on the paper."""

import re
from collections.abc import Sequence

from tameshi.errors import WrongUseError
from tameshi.footprint.results.corrections import HALF_WAY, Corrections, Place

_NUMBER = r"([+-]?(?:\d+\.?\d*|\.\d+))(?:\s*mm)?"
_PLACE = re.compile(rf"{_NUMBER}\s*[,;]\s*{_NUMBER}")
_BETWEEN = re.compile(r"[\s,;]*")
_MM = 1e-3


def parse_corrections(
    *,
    leave_out: Sequence[str] = (),
    take_in: Sequence[str] = (),
    lassos: Sequence[str] = (),
    outline_at: float | None = None,
    apart: float | None = None,
) -> Corrections:
    """Return typed corrections.

    Parameters
    ----------
    leave_out, take_in : sequence of str
        Places as ``"62.5,110"``.
    lassos : sequence of str
        Corners as ``"40,90 80,90 80,130 40,130"``.
    outline_at : float or None
        Share of the way from paper to ink; None leaves the outline half way.
    apart : float or None
        How far apart prints of their own lie, in metres.

    Raises
    ------
    WrongUseError
        ``wrong-place`` or ``wrong-lasso`` for another form, and what :class:`Corrections` refuses.
    """
    return Corrections(
        leave_out=tuple(_place(text) for text in leave_out),
        take_in=tuple(_place(text) for text in take_in),
        lassos=tuple(_lasso(text) for text in lassos),
        outline_at=HALF_WAY if outline_at is None else outline_at,
        apart=apart,
    )


def _place(text: str) -> Place:
    match = _PLACE.fullmatch(text.strip())
    if match is None:
        raise WrongUseError(
            "wrong-place",
            f"{text!r} is no place on the paper.",
            hint='Write across and down in millimetres: "62.5,110".',
        )
    return _metres(match)


def _lasso(text: str) -> tuple[Place, ...]:
    matches = list(_PLACE.finditer(text))
    between = _PLACE.sub("", text)
    if not matches or not _BETWEEN.fullmatch(between):
        raise WrongUseError(
            "wrong-lasso",
            f"{text!r} is no lasso.",
            hint='Write its corners in millimetres, in order: "40,90 80,90 80,130 40,130".',
        )
    return tuple(_metres(match) for match in matches)


def _metres(match: re.Match[str]) -> Place:
    return float(match[1]) * _MM, float(match[2]) * _MM
