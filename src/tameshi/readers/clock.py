"""Times of day as loggers write them, turned into seconds since the first one.

With or without a date, in 24 or 12 hours, with point or comma before the fraction, with a zone or
without. A clock without a date that falls by more than half a day has passed midnight. Where day and
month could be either way round, the order that makes the recording shorter is taken.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    import polars as pl

FloatArray = NDArray[np.float64]

_DATE = r"(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2}))"
_TIME = r"\d{1,2}:\d{2}(?::\d{2}(?:[.,:]\d{1,9})?|[.,]\d{1,9})"
_HALF = r"(?: ?[AaPp][Mm])?"
_ZONE = r"(?:Z|[+-]\d{2}:?\d{2})?"
_IS_DATE = re.compile(rf"{_DATE}$")
_IS_CLOCK = re.compile(rf"(?:{_DATE}(?:T| {{1,3}}))?{_TIME}{_HALF}{_ZONE}$")
_DAY_PARTS = r"^(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})"
_TIME_PARTS = (
    r"(?:^|[T ])(?:(\d{1,2}):)?(\d{1,2}):(\d{1,2})(?:[.,:](\d{1,9}))? ?([AaPp][Mm])?(Z|[+-]\d{2}:?\d{2})?$"
)
_SHAPE = re.compile(
    r"(?:(?P<first>\d{1,4})[-/.](?P<middle>\d{1,2})[-/.](?P<last>\d{1,4})[T ])?"
    r"(?P<hour>\d{2}):(?P<minute>\d{2}):(?P<second>\d{2})(?:[.,:](?P<fraction>\d{1,9}))?"
    r"(?P<zone>(?:Z|[+-]\d{2}:?\d{2})?)$",
    re.ASCII,
)
_DAY, _HOUR, _MINUTE = 86_400.0, 3600.0, 60.0
_TWO_DIGIT_YEARS = 100


def is_clock(field: str) -> bool:
    """Return whether a field is a time of day, with or without its date."""
    return _IS_CLOCK.match(field) is not None


def is_date(field: str) -> bool:
    """Return whether a field is a date alone."""
    return _IS_DATE.match(field) is not None


def seconds_of_clock(written: pl.Series) -> FloatArray:
    """Return times of day as seconds since midnight of the first day.

    Parameters
    ----------
    written : (n,) Series of str
        Null where there is no time.

    Returns
    -------
    (n,) array
        NaN where a field is no time. [s]
    """
    even = _of_one_shape(written)
    if even is not None:
        return even
    parts = written.str.strip_chars().str.extract_groups(_TIME_PARTS).struct
    hour, minute, second = (_number(parts.field(str(place))) for place in (1, 2, 3))
    fraction = parts.field("4")
    scale = 10.0 ** fraction.str.len_bytes().fill_null(0).to_numpy().astype(np.float64)
    seconds = np.nan_to_num(hour) * _HOUR + minute * _MINUTE + second
    seconds += np.nan_to_num(_number(fraction)) / scale
    half = parts.field("5").str.to_lowercase()
    if half.null_count() < len(half):
        noon = np.nan_to_num(hour) == 12  # noqa: PLR2004  12 AM is midnight
        late = (half == "pm").fill_null(value=False).to_numpy()
        seconds += np.where(late, 0.5 * _DAY, 0.0) - np.where(noon, 0.5 * _DAY, 0.0)
    seconds -= _zone(parts.field("6"))
    days = written.str.strip_chars().str.extract_groups(_DAY_PARTS).struct
    if days.field("1").null_count() == len(written):
        return _over_midnight(seconds)
    return seconds + _days([_number(days.field(str(place))) for place in (1, 2, 3)]) * _DAY


def _of_one_shape(written: pl.Series) -> FloatArray | None:
    """Return times that are all written alike, digit under digit; None where they are not.

    That is what nearly every logger writes, and ten times quicker than taking each time apart.
    """
    shape = _SHAPE.match(written[0] or "") if len(written) else None
    if shape is None or written.null_count() or not bool((written.str.len_bytes() == shape.end()).all()):
        return None
    signs = np.frombuffer(written.str.join("").item().encode(), np.uint8).reshape(len(written), shape.end())
    is_digit = np.array([sign.isdigit() for sign in shape.string])
    is_digit[shape.start("zone") :] = False  # the zone may not change
    for place in np.flatnonzero(~is_digit):
        if np.any(signs[:, place] != signs[0, place]):
            return None
    digits = {int(place): signs[:, place] - np.uint8(ord("0")) for place in np.flatnonzero(is_digit)}
    if any(np.any(column > 9) for column in digits.values()):  # noqa: PLR2004  no digit
        return None

    def number(name: str) -> FloatArray:
        value = np.zeros(len(written))
        for place in range(*shape.span(name)):
            value = value * 10.0 + digits[place]
        return value

    seconds = number("hour") * _HOUR + number("minute") * _MINUTE + number("second")
    if shape["fraction"]:
        seconds += number("fraction") / 10.0 ** len(shape["fraction"])
    if shape["first"] is None:
        return _over_midnight(seconds)
    return seconds + _days([number("first"), number("middle"), number("last")]) * _DAY


def _number(digits: pl.Series) -> FloatArray:
    import polars as pl  # noqa: PLC0415

    return np.asarray(digits.cast(pl.Float64, strict=False).fill_null(float("nan")).to_numpy(), np.float64)


def _zone(written: pl.Series) -> FloatArray | float:
    """Return how far clocks are ahead of universal time: it may change within a night. [s]"""
    if written.null_count() == len(written) or bool((written == "Z").all()):
        return 0.0
    hours = np.nan_to_num(_number(written.str.slice(1, 2)))
    minutes = np.nan_to_num(_number(written.str.slice(-2, 2)))
    sign = np.where((written.str.slice(0, 1) == "-").fill_null(value=False).to_numpy(), -1.0, 1.0)
    return sign * (hours * _HOUR + minutes * _MINUTE)


def _over_midnight(seconds: FloatArray) -> FloatArray:
    """Return seconds of the day that go on rising where the clock began again."""
    known = np.flatnonzero(np.isfinite(seconds))
    passed = np.cumsum(np.diff(seconds[known]) < -0.5 * _DAY)
    if len(passed) and passed[-1]:
        seconds[known[1:]] += _DAY * passed
    return seconds


def _days(parts: list[FloatArray]) -> FloatArray:
    """Return dates as days since the first, in the order of year, month and day that fits them best."""
    first, middle, last = parts
    known = np.isfinite(first)
    if np.nanmax(first) > 31:  # noqa: PLR2004  a year stands first
        orders = [(first, middle, last)]
    else:
        orders = [(last, middle, first), (last, first, middle)]
    best: FloatArray | None = None
    for year, month, day in orders:
        if np.nanmax(month) > 12 or np.nanmax(day) > 31 or np.nanmin(month) < 1:  # noqa: PLR2004
            continue
        counted = np.full(len(first), np.nan)
        counted[known] = _day_numbers(year[known], month[known], day[known])
        if best is None or np.ptp(counted[known]) < np.ptp(best[known]):
            best = counted
    if best is None:
        return np.full(len(first), np.nan)
    return np.asarray(best - best[known][0])


def _day_numbers(year: FloatArray, month: FloatArray, day: FloatArray) -> FloatArray:
    whole = np.where(year < _TWO_DIGIT_YEARS, year + 2000, year).astype(np.int64)
    months = ((whole - 1970) * 12 + month.astype(np.int64) - 1).astype("datetime64[M]")
    return months.astype("datetime64[D]").astype(np.float64) + day - 1.0
