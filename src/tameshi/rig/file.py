"""Read a rig file: TOML that a person writes, every quantity with its unit.

The tables and keys are listed once, in ``_FIELDS``. All problems of a file are found together and
told together; a key that is not known is answered with the nearest one that is.
"""

from __future__ import annotations

import difflib
import hashlib
import tomllib
from collections.abc import Mapping
from typing import Any

from tameshi.errors import RigError, UnitError
from tameshi.quantity import parse_quantity
from tameshi.rig.calibrating import Calibration
from tameshi.rig.model import BARE, Amplifier, Cell, Converter, Plate, Rig

_PLAIN = "plain number"
_TEXT = "text"
_PAD = 'text: "none", or material and thickness'
_NUMBERS = "list of numbers"

# table -> key -> (kind of quantity, required)
_FIELDS: dict[str, dict[str, tuple[str, bool]]] = {
    "cell": {
        "capacity": ("force", True),
        "rated_output": ("ratio", True),
        "rated_output_tolerance": ("ratio", False),
        "natural_frequency": ("frequency", False),
        "natural_frequency_u": ("frequency", False),
        "damping_ratio": (_PLAIN, False),
        "damping_ratio_u": (_PLAIN, False),
        "linearity": ("ratio", False),
        "hysteresis": ("ratio", False),
        "repeatability": ("ratio", False),
    },
    "amplifier": {
        "excitation": ("voltage", True),
        "excitation_tolerance": ("ratio", False),
        "gain": (_PLAIN, True),
        "gain_tolerance": ("ratio", False),
        "low_pass": ("frequency", False),
    },
    "converter": {
        "rate": ("frequency", True),
        "bits": (_PLAIN, True),
        "span": ("voltages", True),
        "noise": ("voltage", False),
    },
    "plate": {"pad": (_PAD, False), "mounting_tolerance": ("ratio", False)},
    "calibration": {
        "coefficients": (_NUMBERS, True),
        "covariance": (_NUMBERS, True),
        "residual_sd": ("voltage", True),
        "misfit": ("voltage", False),
        "dof": (_PLAIN, True),
        "lowest": ("force", True),
        "greatest": ("force", True),
        "load_u": ("ratio", False),
        "date": (_TEXT, False),
    },
}
_REQUIRED_TABLES = ("cell", "amplifier", "converter")
_MOST_BITS = 64
_BARE_WORDS = (BARE, "bare", "no pad")


def parse_rig(text: str, *, where: str = "rig file") -> Rig:
    """Return the rig a TOML text describes.

    Parameters
    ----------
    text : str
        The whole file.
    where : str
        Name for messages.

    Raises
    ------
    RigError
        If it is no TOML, or anything in it is missing, unknown or impossible; every problem is
        named at once.
    """
    try:
        content = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise RigError(
            "rig-file", f"{where} is not a TOML file: {error}.", hint="See docs/rig-file.md for an example."
        ) from error
    problems: list[str] = []
    tables = {name: _table(name, content, problems) for name in _FIELDS}
    known = ["name", *_FIELDS]
    problems += [_unknown(key, known, "the file") for key in content if key not in known]
    name = content.get("name", "unnamed rig")
    if not isinstance(name, str):
        problems.append("name must be text")
    if not problems:
        problems += _impossible(tables)
    if problems:
        raise RigError(
            "rig-file",
            f"{where}: {'; '.join(problems)}.",
            hint='Every quantity is text with a unit, such as capacity = "5 kN".',
        )
    return _build(str(name), tables)


def calibration_table(calibration: Calibration, *, date: str = "") -> str:
    """Return the ``[calibration]`` table to put into a rig file."""
    lines = ["[calibration]"]
    if date:
        lines.append(f'date = "{date}"')
    rows = ", ".join("[" + ", ".join(repr(v) for v in line) + "]" for line in calibration.covariance)
    lines += [
        "# reading = b0 + b1 F (+ b2 F^2), volts and newtons",
        f"coefficients = [{', '.join(repr(value) for value in calibration.coefficients)}]",
        f"covariance = [{rows}]",
        f'residual_sd = "{calibration.residual_sd!r} V"',
        f"dof = {calibration.dof:g}",
        f'lowest = "{calibration.lowest!r} N"',
        f'greatest = "{calibration.greatest!r} N"',
    ]
    if calibration.misfit:
        lines.append(f'misfit = "{calibration.misfit!r} V"')
    if calibration.load_u:
        lines.append(f'load_u = "{100.0 * calibration.load_u!r} %"')
    return "\n".join(lines) + "\n"


def _table(name: str, content: Mapping[str, Any], problems: list[str]) -> dict[str, Any] | None:
    """Return the parsed values of one table, None where the file has no such table."""
    given = content.get(name)
    if given is None:
        if name in _REQUIRED_TABLES:
            problems.append(f"the table [{name}] is missing")
        return None
    if not isinstance(given, dict):
        problems.append(f"{name} must be a table, [{name}]")
        return None
    fields = _FIELDS[name]
    problems += [_unknown(key, list(fields), f"[{name}]") for key in given if key not in fields]
    values: dict[str, Any] = {}
    for key, (kind, required) in fields.items():
        if key in given:
            _read_field(f"[{name}] {key}", kind, given[key], values, problems)
        elif required:
            problems.append(f"[{name}] {key} is missing")
    return values


def _read_field(place: str, kind: str, given: object, values: dict[str, Any], problems: list[str]) -> None:
    key = place.rsplit(maxsplit=1)[-1]
    try:
        values[key] = _value(kind, given)
    except UnitError as error:
        problems.append(f"{place}: {error.message} {error.hint}".rstrip("."))
    except (TypeError, ValueError):
        problems.append(f"{place} = {given!r} is not a {kind}")


def _value(kind: str, given: object) -> object:
    if kind == _PLAIN:
        return _number(given)
    if kind == _NUMBERS:
        return _numbers(given)
    if kind == "voltages":
        return _voltages(given)
    if kind == _TEXT:
        return _written(given)
    if kind == _PAD:
        return _pad(given)
    return parse_quantity(given if isinstance(given, str) else str(given), kind)


def _written(given: object) -> str:
    if isinstance(given, bool | int | float | list | dict):
        raise TypeError  # a date needs no quotes, anything else does
    return str(given)


def _pad(given: object) -> str | None:
    """Return a pad as it is told apart from others: blanks and capitals make no other pad."""
    if not isinstance(given, str):
        raise TypeError
    said = " ".join(given.split())
    return BARE if said.casefold() in _BARE_WORDS else said or None


def _voltages(given: object) -> tuple[float, float]:
    if not isinstance(given, list):
        raise TypeError
    low, high = given
    return parse_quantity(str(low), "voltage"), parse_quantity(str(high), "voltage")


def _number(given: object) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise TypeError
    return float(given)


def _numbers(given: object) -> tuple[object, ...]:
    if not isinstance(given, list):
        raise TypeError
    return tuple(_numbers(item) if isinstance(item, list) else _number(item) for item in given)


def _unknown(key: str, known: list[str], where: str) -> str:
    near = difflib.get_close_matches(key, known, n=1)
    advice = f", did you mean {near[0]!r}?" if near else f" (known: {', '.join(known)})"
    return f"{where} has no entry {key!r}{advice}"


def _impossible(tables: Mapping[str, dict[str, Any] | None]) -> list[str]:
    """Return what is well written but cannot be."""
    cell, amplifier, converter = (tables[name] or {} for name in _REQUIRED_TABLES)
    tests = [
        (cell["capacity"] > 0.0, "[cell] capacity must be above zero"),
        (cell["rated_output"] != 0.0, "[cell] rated_output must not be zero"),
        (cell.get("natural_frequency", 1.0) > 0.0, "[cell] natural_frequency must be above zero"),
        (0.0 <= cell.get("damping_ratio", 0.0) < 1.0, "[cell] damping_ratio must be from 0 up to 1"),
        (amplifier["excitation"] > 0.0, "[amplifier] excitation must be above zero"),
        (amplifier["gain"] != 0.0, "[amplifier] gain must not be zero"),
        (amplifier.get("low_pass", 1.0) > 0.0, "[amplifier] low_pass must be above zero"),
        (converter["rate"] > 0.0, "[converter] rate must be above zero"),
        (1.0 <= converter["bits"] <= _MOST_BITS, f"[converter] bits must be from 1 to {_MOST_BITS}"),
        (converter.get("noise", 0.0) >= 0.0, "[converter] noise must not be below zero"),
        (converter["span"][0] < converter["span"][1], "[converter] span must run from low to high"),
    ]
    problems = [sentence for holds, sentence in tests if not holds]
    calibration = tables["calibration"]
    if calibration is not None and not _is_square(calibration):
        problems.append("[calibration] covariance must be square, one row for each coefficient")
    return problems


def _is_square(calibration: Mapping[str, Any]) -> bool:
    terms = len(calibration["coefficients"])
    lines = calibration["covariance"]
    return (
        terms in (2, 3)
        and len(lines) == terms
        and all(isinstance(line, tuple) and len(line) == terms for line in lines)
    )


def _build(name: str, tables: Mapping[str, dict[str, Any] | None]) -> Rig:
    cell, amplifier, converter = (tables[table] or {} for table in _REQUIRED_TABLES)
    calibration = tables["calibration"]
    fitted = None
    if calibration is not None:
        values = {key: value for key, value in calibration.items() if key != "date"}
        fitted = Calibration(identity=_digest(values), **values)
    # how quiet the chain was one day does not make it another chain
    chain = {key: value for key, value in converter.items() if key != "noise"}
    return Rig(
        name=name,
        identity=_digest({**cell, **amplifier, **chain}),
        cell=Cell(**cell),
        amplifier=Amplifier(**amplifier),
        converter=Converter(
            rate=converter["rate"],
            bits=int(converter["bits"]),
            span=converter["span"],
            noise=converter.get("noise"),
        ),
        plate=Plate(**(tables["plate"] or {})),
        calibration=fitted,
    )


def _digest(values: Mapping[str, Any]) -> str:
    """Tell a chain or a fit apart by its own numbers, not by the file round it."""
    return hashlib.sha256(repr(sorted(values.items())).encode()).hexdigest()[:16]
