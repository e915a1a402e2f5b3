"""What several published values of one region and outcome cover together, for overviews."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tameshi.tolerance.compare import Comparability, Comparison
from tameshi.tolerance.kind import Kind
from tameshi.tolerance.placing import Placing, place
from tameshi.tolerance.spread import Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Published values of one kind, region and outcome that a strike may be set beside.

    Parameters
    ----------
    kind : Kind
    region, endpoint : str
    comparability : Comparability
    spread : Spread
        From the lowest to the highest of their ranges. [coherent SI]
    comparisons : tuple of Comparison
    placing : Placing
        Of the strike beside all of them.
    """

    kind: Kind
    region: str
    endpoint: str
    comparability: Comparability
    spread: Spread
    comparisons: tuple[Comparison, ...]
    placing: Placing

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of their sources."""
        return tuple(dict.fromkeys(one.published.source for one in self.comparisons))

    @property
    def title(self) -> str:
        """Region and outcome in words."""
        own = "striker's own " if self.comparability is Comparability.COMPARABLE else ""
        return f"{own}{self.region}: {self.endpoint}"


def together(comparisons: Iterable[Comparison]) -> tuple[Together, ...]:
    """Return what may be compared, put together by kind, comparability, region and outcome.

    Parameters
    ----------
    comparisons : iterable of Comparison
        Those without a reading are left out.
    """
    groups: dict[tuple[Kind, Comparability, str, str, str], list[Comparison]] = {}
    for one in comparisons:
        if one.reading is not None:
            published = one.published
            place_of = (published.region, published.endpoint)
            key = (published.kind, one.comparability, *place_of, one.reading.model)
            groups.setdefault(key, []).append(one)
    return tuple(_together(key, found) for key, found in groups.items())


def _together(key: tuple[Kind, Comparability, str, str, str], found: list[Comparison]) -> Together:
    kind, comparability, region, endpoint, _ = key
    reading = found[0].reading
    assert reading is not None  # noqa: S101  only those with a reading are grouped
    low, high = min(one.spread.low for one in found), max(one.spread.high for one in found)
    printed = all(one.spread.is_printed for one in found)
    spread = Spread(low, high, None, f"lowest to highest of {len(found)}", printed)
    return Together(
        kind=kind,
        region=region,
        endpoint=endpoint,
        comparability=comparability,
        spread=spread,
        comparisons=tuple(found),
        placing=place(reading, kind, spread),
    )
