"""Bands of a model in words: three figures, as more would claim too much."""

from __future__ import annotations

from dataclasses import replace

from tameshi.quantity import Quantity, System, parse_unit, show
from tameshi.target.transfer import Band

_FIGURES = 3
NOT_KNOWN = "not known"


def band_in_words(band: Band | None, system: System) -> str:
    """Return a band as a person reads it."""
    if band is None or (band.low is None and band.high is None):
        return NOT_KNOWN
    ends = [None if end is None else figure_in_words(end, band.unit, system) for end in (band.low, band.high)]
    if ends[1] is None:
        return f"at least {ends[0]}"
    if ends[0] is None:
        return f"at most {ends[1]}"
    if band.median is None:
        return f"{ends[0]} to {ends[1]} (limits)"
    return f"{figure_in_words(band.median, band.unit, system)} ({ends[0]} to {ends[1]})"


def criterion_in_words(band: Band | None) -> str:
    """Return a band of a criterion: written without its odd unit, as everywhere in the trade."""
    return NOT_KNOWN if band is None else band_in_words(replace(band, unit="1"), "si")


def in_gravities(band: Band | None) -> str:
    """Return a band of accelerations in multiples of standard gravity."""
    if band is None:
        return NOT_KNOWN
    gravity = parse_unit("g0").factor
    low, median, high = (None if end is None else end / gravity for end in (band.low, band.median, band.high))
    words = band_in_words(replace(band, unit="1", low=low, median=median, high=high), "si")
    return words if words == NOT_KNOWN else f"{words}\u00a0g"


def figure_in_words(value: float, unit: str, system: System) -> str:
    """Return a modelled value to three figures."""
    shown = show(Quantity(float(f"{value:.{_FIGURES}g}"), unit), system)
    factor = parse_unit(unit).factor
    number = float(f"{float(shown.value) * factor:.{_FIGURES}g}")
    return f"{number:g} {shown.unit}".strip()
