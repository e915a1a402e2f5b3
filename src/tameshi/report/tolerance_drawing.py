"""Strikes beside published ranges as drawings, one for each kind of quantity."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tameshi.quantity import parse_unit, written_unit
from tameshi.report.drawing import Axis, BesidePublished, Borne, Point, Struck, Words
from tameshi.report.tolerance_cases import TechniqueCases
from tameshi.report.tolerance_lines import Line, lines_for
from tameshi.tolerance import Case, Kind, Published, Reading, spread_of, unit_for

_FEWEST = 2
_MOST_SINGLE = 40
_KEY = "tolerance"
_GRAVITY = "g"


def drawings_of(techniques: Sequence[TechniqueCases], lines: Sequence[Line]) -> tuple[BesidePublished, ...]:
    """Return a drawing for each kind of quantity that has more than one line.

    Parameters
    ----------
    techniques : sequence of TechniqueCases
    lines : sequence of Line
    """
    kinds = dict.fromkeys(line.kind for line in lines)
    found = []
    for kind in kinds:
        own = [line for line in lines if line.kind is kind]
        struck = tuple(filter(None, (_technique(one, kind) for one in techniques)))
        if struck and len(own) >= _FEWEST:
            found.append(_drawing(kind, struck, tuple(map(_of_line, own))))
    return tuple(found)


def drawing_of_rows(cases: Sequence[Case], rows: Sequence[Published]) -> BesidePublished | None:
    """Return typed or measured strikes beside single published values; None where nothing may be compared.

    Of several kinds the one with most values is drawn; where there are many values, by region and outcome.
    """
    fitting = _fitting(cases, rows, fold=False)
    if not fitting:
        return None
    counts = Counter(line.kind for line in fitting for _ in line.rows)
    kind, most = counts.most_common(1)[0]
    if most <= _MOST_SINGLE:
        borne = [_of_row(line, row) for line in fitting for row in line.rows if line.kind is kind]
    else:
        borne = [_of_line(line) for line in _fitting(cases, rows, fold=True) if line.kind is kind]
    struck = tuple(filter(None, (_struck(case, None, kind, case.label) for case in cases)))
    return _drawing(kind, struck, tuple(borne))


def _fitting(cases: Sequence[Case], rows: Sequence[Published], *, fold: bool) -> list[Line]:
    lines = lines_for(cases, rows, fold=fold)
    return [line for line in lines if not cases or any(line.told(case) for case in cases)]


def _drawing(kind: Kind, struck: tuple[Struck, ...], borne: tuple[Borne, ...]) -> BesidePublished:
    axes = axis_of(kind, "si"), axis_of(kind, "us")
    band = any(one.typical is not None and one.typical.is_bound for one in struck)
    words = Words(
        key=f"{_KEY}-{kind.replace(' ', '-')}",
        title=f"{kind.capitalize()} of strikes beside published ranges",
        alternative=(
            f"Strikes: {', '.join(one.label for one in struck) or 'none'}. Published ranges on the same "
            f"logarithmic scale: {'; '.join(one.label for one in borne)}. The numbers stand in the table."
        ),
        caption=_caption(
            is_band=band, has_own=any(not one.is_one_sided for one in borne), struck=bool(struck)
        ),
    )
    return BesidePublished(words=words, axes=axes, struck=struck, borne=borne)


def _caption(*, is_band: bool, has_own: bool, struck: bool) -> str:
    told = []
    if struck and is_band:
        told.append("Thick lines: the bounds that a print sets to local pressure.")
    elif struck:
        told.append("Points: strikes with their 95 % intervals. Open triangles: the greatest strike.")
    told += [
        "Bars: lowest to highest published value, a tick for each mean or median.",
        "Diamonds: one value.",
    ]
    if has_own:
        told.append("Filled: the striker's own limb.")
    told += [
        "Hollow: parts that are struck, of which a plate tells from one side only.",
        "No range is a limit to aim for.",
    ]
    return " ".join(told)


def axis_of(kind: Kind, system: str) -> Axis:
    """Return the scale of a kind of quantity, ``"si"`` or ``"us"``."""
    symbol = unit_for(kind, "us" if system == "us" else "si")
    name = "peak force" if kind is Kind.CONTACT_FORCE else kind.value
    unit = _GRAVITY if symbol == "g0" else written_unit(symbol)
    return Axis(name, unit, parse_unit(symbol).factor)


def _technique(one: TechniqueCases, kind: Kind) -> Struck | None:
    if one.typical is None:
        return None if one.greatest is None else _struck(one.greatest, None, kind, one.name)
    return _struck(one.typical, one.greatest, kind, one.name)


def _struck(case: Case, greatest: Case | None, kind: Kind, label: str) -> Struck | None:
    reading = case.readings.get(kind)
    if reading is None:
        return None
    beyond = None if greatest is None else greatest.readings.get(kind)
    height = None if beyond is None or beyond.is_band else beyond.least.value
    if reading.at_least is not None:
        return Struck(label, None, reading.at_least)
    return Struck(label, _point(reading), height)


def _point(reading: Reading) -> Point:
    if reading.is_band:
        low, high = reading.least.low, reading.most.high
        return Point(low, low, high, is_bound=True)
    return Point(reading.least.value, reading.least.low, reading.least.high)


def _of_line(line: Line) -> Borne:
    return Borne(line.title, line.spread.low, line.spread.high, line.middles, not line.surfaces)


def _of_row(line: Line, row: Published) -> Borne:
    spread = spread_of(row)
    middles = () if row.value is None else (row.value,)
    return Borne(f"{row.place}: {row.outcome}", spread.low, spread.high, middles, not line.surfaces)
