"""Bands of a model in words: three figures, as more would claim too much."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from tameshi.quantity import Quantity, System, parse_unit, show
from tameshi.target.transfer import Band

_FIGURES = 3
NOT_KNOWN = "not known"


def band_in_words(band: Band | None, system: System) -> str:
    """Return a band as a person reads it."""
    unit = "" if band is None else band.unit
    return _told(band, lambda end: figure_in_words(end, unit, system))


def criterion_in_words(band: Band | None) -> str:
    """Return a band of a criterion: written without its odd unit, as everywhere in the trade."""
    return NOT_KNOWN if band is None else band_in_words(replace(band, unit="1"), "si")


def in_gravities(band: Band | None) -> str:
    """Return a band of accelerations in multiples of standard gravity."""
    gravity = parse_unit("g0").factor
    return _told(band, lambda end: f"{_rounded(end / gravity)} g")


def figure_in_words(value: float, unit: str, system: System) -> str:
    """Return a modelled value to three figures."""
    shown = show(Quantity(float(f"{value:.{_FIGURES}g}"), unit), system)
    return f"{_rounded(float(shown.value))} {shown.unit}".strip()


def _told(band: Band | None, write: Callable[[float], str]) -> str:
    if band is None or (band.low is None and band.high is None):
        return NOT_KNOWN
    low, median, high = (None if end is None else write(end) for end in (band.low, band.median, band.high))
    if high is None:
        return f"at least {low}"
    if low is None:
        return f"at most {high}"
    return f"{low} to {high} (limits)" if median is None else f"{median} ({low} to {high})"


def _rounded(number: float) -> str:
    return f"{float(f'{number:.{_FIGURES}g}'):g}"
