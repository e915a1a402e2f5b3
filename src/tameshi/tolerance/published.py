"""Published values of what parts of the body bear, as rows with a kind, a statistic and a source."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from tameshi.errors import WrongUseError
from tameshi.quantity import parse_unit
from tameshi.reference import table
from tameshi.tolerance.kind import Kind


class Statistic(StrEnum):
    """What the numbers of a row are."""

    MEAN_AND_SD = "mean and sd"
    MEDIAN_AND_PERCENTILES = "median and percentiles"
    RANGE = "range"
    GROUP_MEANS = "group means"
    RISK_RANGE = "risk range"
    RISK = "risk"
    MEAN = "mean"
    LIMIT = "limit"
    MINIMUM = "minimum"
    THRESHOLD = "threshold"
    OBSERVED = "observed"
    FACTOR = "factor"
    INTERPOLATED = "interpolated"


class Status(StrEnum):
    """How a value is known here.

    Verified: seen in the publication or in a text that quotes it, and the source's ``read`` says when. Handed
    down: said to have been seen, and not looked up again.
    """

    VERIFIED = "verified"
    HANDED_DOWN = "handed down"
    MEMORY = "memory"
    DERIVED = "derived"


class Way(StrEnum):
    """What the conditions of a study allow, the kind of quantity apart."""

    OWN_LIMB = "own limb"
    ONE_SIDE = "one side"
    MODEL = "model"
    NEVER = "never"


class Rate(StrEnum):
    """How fast the load came."""

    SLOW = "quasi-static"
    IMPACT = "impact"
    BALLISTIC = "ballistic"
    UNKNOWN = "not stated"


Span = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One published value. Numbers are in coherent SI.

    Parameters
    ----------
    key, region, structure : str
    kind : Kind
    value : float or None
        Mean, median, limit, ...; None where only ends were printed.
    low, high : float or None
        What the statistic says: ends of a range, one standard deviation either way, percentiles 10 and 90,
        means of women and men, slow and fast limit.
    unit : str
        As printed; ``factor`` turns SI back into it.
    factor : float
    statistic : Statistic
    risk : float or None
        Share that was injured at the value, for the statistics ``risk`` and ``risk range``.
    count : int or None
        Number of specimens or people.
    outcome, endpoint : str
        What happened, in words and as one of a few classes.
    loading : str
    rate : Rate
    area : float or None
        Of the contact. [m2]
    pulse : (float or None, float or None)
        Shortest and longest duration. [s]
    surfaces : tuple of str
        Striking surfaces this is the striker's own limb for.
    surrogate : str
    status : Status
    way : Way
    source, locator, note : str
    """

    key: str
    region: str
    structure: str
    kind: Kind
    value: float | None
    low: float | None
    high: float | None
    unit: str
    factor: float
    statistic: Statistic
    risk: float | None
    count: int | None
    outcome: str
    endpoint: str
    loading: str
    rate: Rate
    area: float | None
    pulse: Span
    surfaces: tuple[str, ...]
    surrogate: str
    status: Status
    way: Way
    source: str
    locator: str
    note: str

    @property
    def place(self) -> str:
        """Region and structure in words."""
        return f"{self.region}, {self.structure}" if self.structure else self.region


@cache
def published_values() -> tuple[Published, ...]:
    """Return every row of the table of published tolerance, in its order."""
    return tuple(map(_published, table("tolerance").rows.values()))


@cache
def endpoints() -> tuple[str, ...]:
    """Return the classes of outcome there are."""
    return tuple(dict.fromkeys(row.endpoint for row in published_values()))


def regions_named(words: str) -> tuple[str, ...]:
    """Return the regions that a person means by a word: ``face``, ``jaw``, ``head``.

    Raises
    ------
    WrongUseError
        ``unknown-region``; the hint lists the regions.
    """
    asked = " ".join(words.lower().replace("-", " ").replace("_", " ").split())
    for key, row in table("tolerance_regions").rows.items():
        if asked == key or asked in row["words"]:
            return tuple(row.get("group", (key,)))
    known = ", ".join(table("tolerance_regions").rows)
    raise WrongUseError("unknown-region", f"There is no region {words!r}.", hint=f"There are: {known}.")


def select(
    rows: Iterable[Published],
    *,
    region: str | None = None,
    endpoint: str | None = None,
    kind: str | None = None,
) -> tuple[Published, ...]:
    """Return the rows of a region, an endpoint and a kind, as far as these are given.

    Raises
    ------
    WrongUseError
        ``unknown-region``, ``unknown-endpoint``, ``unknown-kind``.
    """
    regions = None if region is None else regions_named(region)
    outcome = None if endpoint is None else _one_of(endpoint, endpoints(), "endpoint")
    kinds = None if kind is None else _kinds(_one_of(kind, tuple(Kind), "kind"))
    return tuple(
        row
        for row in rows
        if (regions is None or row.region in regions)
        and (outcome is None or row.endpoint == outcome)
        and (kinds is None or row.kind in kinds)
    )


def _kinds(asked: str) -> frozenset[Kind]:
    """Return a kind with those that are the same over a stated window: an injury criterion over 15 ms."""
    return frozenset(kind for kind in Kind if kind == asked or kind.startswith(f"{asked} over "))


def _one_of(asked: str, known: tuple[str, ...], what: str) -> str:
    tidied = " ".join(asked.lower().replace("-", " ").split())
    if tidied in known:
        return tidied
    named = ", ".join(known)
    raise WrongUseError(f"unknown-{what}", f"There is no {what} {asked!r}.", hint=f"There are: {named}.")


def _published(row: Mapping[str, str]) -> Published:
    factor = parse_unit(row["unit"]).factor
    surfaces = tuple(filter(None, row["surfaces"].split("; ")))
    return Published(
        key=row["key"],
        region=row["region"],
        structure=row["structure"],
        kind=Kind(row["kind"]),
        value=_number(row["value"], factor),
        low=_number(row["low"], factor),
        high=_number(row["high"], factor),
        unit=row["unit"],
        factor=factor,
        statistic=Statistic(row["statistic"]),
        risk=_number(row["risk"], 0.01),
        count=int(row["n"]) if row["n"] else None,
        outcome=row["outcome"],
        endpoint=row["endpoint"],
        loading=row["loading"],
        rate=Rate(row["rate"]),
        area=_number(row["area"], parse_unit(row["area_unit"]).factor) if row["area"] else None,
        pulse=(_number(row["pulse_low"], 1e-3), _number(row["pulse_high"], 1e-3)),
        surfaces=surfaces,
        surrogate=row["surrogate"],
        status=Status(row["status"]),
        way=Way(row["way"]),
        source=row["source"],
        locator=row["locator"],
        note=row["note"],
    )


def _number(text: str, factor: float) -> float | None:
    return factor * float(text) if text else None
