"""Read a target file: TOML that a person writes, every quantity with its unit.

All problems of a file are told together. What a prediction cannot do without is asked for in words:
how the grain of a board lies before all.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from typing import Any, get_args

from tameshi.errors import UnitError, WrongUseError
from tameshi.quantity import parse_quantity
from tameshi.target.breaking.limits import refuse_size
from tameshi.target.breaking.material import refuse_by_name
from tameshi.target.breaking.stacks import MOST
from tameshi.target.breaking.target import (
    Between,
    Grain,
    Holding,
    Rings,
    Size,
    Stack,
    Support,
    Target,
    TargetKind,
    Tested,
    Wood,
)

_COUNT = "whole number"
_TOP = ("name", "kind", "material")

# table -> key -> kind of quantity, or the words allowed
_FIELDS: dict[str, dict[str, str | tuple[str, ...]]] = {
    "size": {
        "thickness": "length",
        "thickness_tolerance": "length",
        "width": "length",
        "length": "length",
        "diameter": "length",
    },
    "support": {"how": get_args(Holding), "span": "length", "span_tolerance": "length"},
    "wood": {"grain": get_args(Grain), "rings": get_args(Rings), "moisture": "ratio"},
    "tested": {
        "modulus_of_rupture": "pressure",
        "breaking_strength": "force",
        "breaking_force": "force",
        "direction": get_args(Grain),
        "elastic_modulus": "pressure",
        "density": "density",
        "scatter": "ratio",
    },
    "stack": {"count": _COUNT, "between": get_args(Between)},
}
_MAY_BE_NOUGHT = ("scatter", "moisture", "thickness_tolerance", "span_tolerance")
GRAIN_QUESTION = (
    "How does the grain of the board run? Breaking boards are held so that they split along the grain: the "
    "span "
    "from support to support runs across it. Handbooks give the strength along the grain, some twenty times "
    "more."
)
_GRAIN_HINT = (
    'Add [wood] grain = "across" where the span runs across the grain, grain = "along" where the fibres have '
    "to break."
)


def is_target_file(text: str) -> bool:
    """Whether a TOML text describes a target rather than a rig."""
    try:
        content = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return False
    return "kind" in content and "material" in content and "cell" not in content


def parse_target(text: str, *, where: str = "target file") -> Target:
    """Return the target a TOML text describes.

    Parameters
    ----------
    text : str
        The whole file.
    where : str
        Name for messages.

    Raises
    ------
    WrongUseError
        ``target-file``: it is no TOML, or anything in it is missing, unknown or impossible; every problem is
        named at once. ``grain-missing``: a board whose grain is not told. ``board-all-round``,
        ``wrong-size``, ``not-a-target``.
    UnmeasurableError
        ``glass``.
    """
    try:
        content = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise WrongUseError(
            "target-file",
            f"{where} is not a TOML file: {error}.",
            hint="See docs/target-file.md for an example.",
        ) from error
    if isinstance(content.get("cell"), dict):
        raise WrongUseError(
            "not-a-target",
            f"{where} describes a rig, not a target.",
            hint="A target file says kind, material, size and support; see docs/target-file.md.",
        )
    if isinstance(content.get("material"), str):
        refuse_by_name(content["material"])
    problems: list[str] = []
    tables = {name: _table(name, content, problems) for name in _FIELDS}
    known = [*_TOP, *_FIELDS]
    problems += [_unknown(key, known, "the file") for key in content if key not in known]
    kind = _kind(content, problems)
    if not problems:
        problems += _missing(kind, tables)
    if problems:
        raise WrongUseError(
            "target-file",
            f"{where}: {'; '.join(problems)}.",
            hint='Every quantity is text with a unit, such as thickness = "19 mm". See docs/target-file.md.',
        )
    _refuse_board(kind, tables, where)
    size, support = Size(**tables["size"]), Support(**tables["support"])
    refuse_size(size, support, where=where)
    return Target(
        name=str(content.get("name", "unnamed target")),
        kind=kind,
        material=content["material"].strip(),
        size=size,
        support=support,
        wood=Wood(**tables["wood"]) if kind == "board" else None,
        tested=Tested(**tables["tested"]),
        stack=Stack(**tables["stack"]),
    )


def _kind(content: Mapping[str, Any], problems: list[str]) -> TargetKind:
    problems += [
        f"{key} is missing" if key not in content else f"{key} must be text"
        for key in ("kind", "material")
        if not isinstance(content.get(key), str)
    ]
    kinds: tuple[TargetKind, ...] = get_args(TargetKind)
    for kind in kinds:
        if kind == content.get("kind"):
            return kind
    if isinstance(content.get("kind"), str):
        problems.append(f"kind = {content['kind']!r} is none of {', '.join(kinds)}")
    return kinds[0]


def _table(name: str, content: Mapping[str, Any], problems: list[str]) -> dict[str, Any]:
    given = content.get(name, {})
    if not isinstance(given, dict):
        problems.append(f"{name} must be a table, [{name}]")
        return {}
    fields = _FIELDS[name]
    values: dict[str, Any] = {}
    for key, typed in given.items():
        if key not in fields:
            problems.append(_unknown(key, list(fields), f"[{name}]"))
            continue
        try:
            value = values[key] = _value(fields[key], typed)
        except UnitError as error:
            problems.append(f"[{name}] {key}: {error.message} {error.hint}".rstrip("."))
        except ValueError as error:
            problems.append(f"[{name}] {key} = {typed!r} {error}")
        else:
            if isinstance(value, float) and not _is_possible(key, value):
                problems.append(f"[{name}] {key} must be above zero")
    return values


def _value(kind: str | tuple[str, ...], typed: object) -> object:
    if isinstance(kind, tuple):
        if typed not in kind:
            raise ValueError(f"is none of {', '.join(kind)}")
        return typed
    if kind == _COUNT:
        if isinstance(typed, bool) or not isinstance(typed, int) or not 1 <= typed <= MOST:
            raise ValueError(f"is no whole number from 1 to {MOST}")
        return typed
    return parse_quantity(typed if isinstance(typed, str) else str(typed), kind)


def _is_possible(key: str, value: float) -> bool:
    return value >= 0.0 if key in _MAY_BE_NOUGHT else value > 0.0


def _missing(kind: TargetKind, tables: Mapping[str, dict[str, Any]]) -> list[str]:
    """Return what is not there, or there twice, each in a sentence."""
    size, support, wood, tested = (tables[name] for name in ("size", "support", "wood", "tested"))
    on_edges = support.get("how") in {"two edges", "held by hand"}
    strengths = [
        key for key in ("modulus_of_rupture", "breaking_strength", "breaking_force") if key in tested
    ]
    round_one = "diameter" in size
    tests = [
        ("thickness" in size, "[size] thickness is missing"),
        ("how" in support, f"[support] how is missing: {', '.join(get_args(Holding))}"),
        (not on_edges or "span" in support, "[support] span, from edge to edge, is missing"),
        (not on_edges or "width" in size, "[size] width, along the edges, is missing"),
        (not (on_edges and round_one), "a round target on two edges is not modelled: hold it all round"),
        (on_edges or round_one or {"width", "length"} <= set(size), "[size] width and length, or diameter"),
        (on_edges or "span" not in support, "[support] span belongs to two edges only"),
        (kind == "board" or not wood, "[wood] belongs to a board"),
        (len(strengths) <= 1, f"[tested] {' and '.join(strengths)} say the same: keep one"),
        (
            "breaking_strength" not in tested or kind != "board",
            "[tested] breaking_strength is what tiles are marked with",
        ),
    ]
    return [sentence for holds, sentence in tests if not holds]


def _refuse_board(kind: TargetKind, tables: Mapping[str, dict[str, Any]], where: str) -> None:
    if kind != "board":
        return
    if "grain" not in tables["wood"]:
        raise WrongUseError("grain-missing", f"{where}: {GRAIN_QUESTION}", hint=_GRAIN_HINT)
    if tables["support"]["how"] not in {"two edges", "held by hand"}:
        raise WrongUseError(
            "board-all-round",
            f"{where}: a board held all round bends both ways with a stiffness that differs by a factor of "
            "ten and "
            "more; no formula here holds for it.",
            hint="Support it on two edges.",
        )


def _unknown(key: str, known: list[str], where: str) -> str:
    near = difflib.get_close_matches(key, known, n=1)
    advice = f", did you mean {near[0]!r}?" if near else f" (known: {', '.join(known)})"
    return f"{where} has no entry {key!r}{advice}"
