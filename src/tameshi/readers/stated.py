"""The sampling rate that a file states in words: a line before the header, or an attribute.

``Sample rate: 20 kHz``, ``Abtastintervall [µs];50`` and ``fs = 2e4`` are understood. A rate without a
unit is taken in hertz, an interval without one in seconds.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping

from tameshi.readers.headings import seconds_of

_NUMBER = r"(\d[\d.,]*(?:[eE][+-]?\d{1,3})?)"
_BETWEEN = r"[\"'\s:;,=|\t]{0,20}"
_IN_BRACKETS = r"(?:\s{0,3}[\[(]\s{0,3}([^\])]{1,12})[\])])?"
_RATE_NAMES = (
    r"sampl\w*[ _-]?(?:rate|freq\w*)|scan[ _-]?rate|data[ _-]?rate|\brate|\bfs|abtastrate|abtastfrequenz"
)
_STEP_NAMES = (
    r"(?:sampl\w*|scan|time)[ _-]?(?:interval|period|time|step|increment)|\binterval|\bdelta[ _]?t|\bdt\b"
    r"|x[ _]?increment|abtastintervall|abtastzeit|zeitschritt"
)
_RATE_UNIT = r"([kM]?(?:Hz|S/s|sps|samples?/s|samples per second)|1/s|hz)?"
_STEP_UNIT = r"(s|ms|us|µs|μs|ns|sec|msec|usec|seconds)?"
_RATE = re.compile(
    rf"(?:{_RATE_NAMES}){_IN_BRACKETS}{_BETWEEN}{_NUMBER}{_BETWEEN}{_RATE_UNIT}", re.IGNORECASE
)
_STEP = re.compile(
    rf"(?:{_STEP_NAMES}){_IN_BRACKETS}{_BETWEEN}{_NUMBER}{_BETWEEN}{_STEP_UNIT}\b", re.IGNORECASE
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(,\d{3})+$")
_LONGEST_LINE = 500
_LARGEST, _SMALLEST = 1e10, 1e-6  # [Hz]
_RATE_FACTS = re.compile(
    r"(sampl\w*[ _-]?(rate|freq\w*)|fs|f_s|rate|scan[ _-]?rate|abtastrate)(?:[ _](?P<unit>k?Hz))?$",
    re.IGNORECASE,
)
_STEP_FACTS = re.compile(
    r"(wf[ _-]increment|increment|dt|delta[ _]?t|(sampl\w*|time)[ _-]?(interval|period|step|time)|interval)"
    r"(?:[ _](?P<unit>s|ms|us|µs))?$",
    re.IGNORECASE,
)


def rate_of_lines(lines: Iterable[str], *, decimal_comma: bool = False) -> float | None:
    """Return the rate that lines before a header state, None where they state none. [Hz]

    Parameters
    ----------
    lines : iterable of str
    decimal_comma : bool
        Whether the file writes 0,5 for a half.
    """
    for line in lines:
        short = line[:_LONGEST_LINE]
        for pattern, make in ((_RATE, _hertz), (_STEP, _of_step)):
            match = pattern.search(short)
            if match:
                number = _number(match.group(2), decimal_comma=decimal_comma)
                rate = make(number, match.group(3) or match.group(1))
                if rate is not None:
                    return rate
    return None


def rate_of_facts(facts: Mapping[str, float | str]) -> float | None:
    """Return the rate that attributes of a file state, None where they state none. [Hz]

    Parameters
    ----------
    facts : mapping of str to float or str
        Such as ``{"fs": 20000.0}`` or ``{"sample_rate": "20 kHz"}``.
    """
    for name, value in facts.items():
        for pattern, make in ((_RATE_FACTS, _hertz), (_STEP_FACTS, _of_step)):
            match = pattern.match(name.strip())
            if match is None:
                continue
            number, unit = _split(value)
            unit = unit or match["unit"]
            rate = make(number, unit or _unit_beside(name, facts))
            if rate is not None:
                return rate
    return None


def _split(value: float | str) -> tuple[float, str]:
    if not isinstance(value, str):
        return float(value), ""
    match = re.match(rf"\s*{_NUMBER}\s*(\S*)", value)
    return (_number(match.group(1), decimal_comma=False), match.group(2)) if match else (math.nan, "")


def _unit_beside(name: str, facts: Mapping[str, float | str]) -> str:
    beside = facts.get(f"{name}_unit", facts.get(f"{name}_units", ""))
    return beside if isinstance(beside, str) else ""


def _number(text: str, *, decimal_comma: bool) -> float:
    bare = text.rstrip(".,")
    if not decimal_comma and _THOUSANDS.match(bare):
        bare = bare.replace(",", "")
    try:
        return float(bare.replace(",", "."))
    except ValueError:  # a date or a version number
        return math.nan


def _hertz(number: float, unit: str | None) -> float | None:
    bare = (unit or "Hz").strip()
    factor = {"k": 1e3, "M": 1e6}.get(bare[0], 1.0) if len(bare) > 1 and bare[0] in "kM" else 1.0
    return _plausible(number * factor)


def _of_step(number: float, unit: str | None) -> float | None:
    seconds = seconds_of(unit or "s")
    if seconds is None or not number > 0.0:
        return None
    return _plausible(1.0 / (number * seconds))


def _plausible(rate: float) -> float | None:
    return rate if _SMALLEST <= rate <= _LARGEST else None
