"""What a heading says: the name and the unit of a column, and whether it is time or a row number.

Every table-like form is read by the same rules, so that ``force_N`` means the same in text, in a
column store and in an array file.
"""

from __future__ import annotations

import re
from functools import lru_cache

from tameshi.errors import UnitError
from tameshi.quantity import parse_unit

_IN_BRACKETS = re.compile(r"\s*[\[(]([^\[\]()]*)[\])]")
_NAME_SLASH_UNIT = re.compile(r"([A-Za-zÀ-ÿ ]+)/([A-Za-zµμ%0-9/²³]+)$")
_NAME_IN_UNIT = re.compile(r"(\S[^,]*?),? in (\S+)$")
_NAME_SUFFIX = re.compile(
    r"(.+?)[_ ](s|ms|us|µs|μs|ns|sec|N|mN|kN|MN|lbf|kgf|gf|V|mV|uV|µV|mV/V|volts|seconds|Hz)$"
)
_SINCE = re.compile(r"\s+since\s.*", re.IGNORECASE | re.DOTALL)  # "seconds since 2026-11-20"
_LONGEST_HEADING = 200
_TIME_NAME = re.compile(
    r"(t|time|zeit|uhrzeit|temps|tiempo|tempo|tijd|tid|elapsed|seconds|timestamp|datetime|x)(?![a-zà-ÿ])",
    re.IGNORECASE,
)
_INDEX_NAME = re.compile(
    r"(#|n|no|nr|index|sample|samples|row|count|point|scan|sample (number|no|nr|#))\.?$", re.IGNORECASE
)
_SPEAKING_NAMES = {
    "volts": "V",
    "volt": "V",
    "millivolts": "mV",
    "newtons": "N",
    "newton": "N",
    "kilonewtons": "kN",
    "seconds": "s",
    "milliseconds": "ms",
    "microseconds": "µs",
    "nanoseconds": "ns",
    "minutes": "min",
    "hours": "h",
}
_ALIASES = {
    **_SPEAKING_NAMES,
    "sec": "s",
    "secs": "s",
    "second": "s",
    "sek": "s",
    "us": "µs",
    "usec": "µs",
    "msec": "ms",
    "v": "V",
    "n": "N",
    "kn": "kN",
    "mv": "mV",
    "hz": "Hz",
}
_DAYS = ("day", "days")
_SECONDS_OF_A_DAY = 86_400.0
_AS_WRITTEN = ("N", "V", "mV", "kN")
_OF_NO_USE_HERE = {"", "-", "#", "g", "C", "°C", "%", "A", "mA", "m/s²", "kg", "lb"}


def name_and_unit(heading: str) -> tuple[str, str]:
    """Return the name and unit of a heading.

    ``Force (N)``, ``t [ms]``, ``force_N``, ``F/kN`` and ``Kraft in kN`` are understood; the unit is empty
    where there is none.

    Parameters
    ----------
    heading : str
    """
    bare = heading.strip()[:_LONGEST_HEADING]
    in_brackets = _unit_in_brackets(bare)
    if in_brackets is not None:
        return in_brackets
    for pattern in (_NAME_IN_UNIT, _NAME_SUFFIX, _NAME_SLASH_UNIT):
        match = pattern.match(bare)
        if match and match.group(1).strip():
            return match.group(1).strip(), match.group(2).strip()
    return bare, _SPEAKING_NAMES.get(bare.lower(), "")


def _unit_in_brackets(heading: str) -> tuple[str, str] | None:
    """Return name and unit where brackets hold one: the last that is a unit, else those at the end."""
    found = list(_IN_BRACKETS.finditer(heading))
    units = [one for one in found if one[1].strip() and is_bare_unit(one[1])]
    at_end = [one for one in found if one.end() == len(heading)]
    for one in (units or at_end)[-1:]:
        name = (heading[: one.start()] + heading[one.end() :]).strip()
        return (name, one[1].strip()) if name else None
    return None


def tidy_unit(unit: str) -> str:
    """Return a unit as loggers write it in the form that is parsed here.

    Parameters
    ----------
    unit : str
        ``"[sec]"``, ``"Volts"``, ``"us"``, ...
    """
    bare = _SINCE.sub("", unit).strip().strip("[]()").strip()
    return bare if bare in _AS_WRITTEN else _ALIASES.get(bare.lower(), bare)


@lru_cache(maxsize=1024)
def seconds_of(unit: str) -> float | None:
    """Return how many seconds one of a unit is, None where it is no unit of time. [s]"""
    bare = tidy_unit(unit)
    if bare.lower() in _DAYS:
        return _SECONDS_OF_A_DAY
    try:
        parsed = parse_unit(bare)
    except UnitError:
        return None
    return parsed.factor if parsed.dimension == parse_unit("s").dimension else None


def is_time_name(name: str) -> bool:
    """Return whether a column of this name holds time."""
    return _TIME_NAME.match(name) is not None


def is_index_name(name: str) -> bool:
    """Return whether a column of this name numbers the rows."""
    return _INDEX_NAME.match(name.strip()) is not None


@lru_cache(maxsize=1024)
def is_bare_unit(field: str) -> bool:
    """Return whether a field is a unit in a row of units, or blank in it."""
    bare = tidy_unit(field)
    if bare in _OF_NO_USE_HERE:
        return True
    try:
        parse_unit(bare)
    except UnitError:
        return False
    return not bare.isdigit()
