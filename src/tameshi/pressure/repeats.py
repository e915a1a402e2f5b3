"""Repeated prints of one technique: their mean area, their scatter, and what one more strike may leave."""

from __future__ import annotations

import hashlib
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.errors import Flag, WrongUseError
from tameshi.quantity import Quantity, Source, interval_of_sd, total
from tameshi.reference import row

_FEW = 3  # fewer prints than this say little of their own scatter
_PAIR = 2
_LINE = "area scatter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeats:
    """What several prints of a technique say of its contact area.

    Parameters
    ----------
    count : int
    mean : Quantity
        [m2]
    scatter : float or None
        Standard deviation from print to print; None of a single print. [m2]
    scatter_interval : (float, float) or None
        Its 95 % interval. [m2]
    human : float or None
        What of the scatter the prints' own measurement does not explain. [m2]
    next_print : Quantity
        What one more print may be. [m2]
    shared : tuple of str
        Budget lines whose errors several prints share: more prints do not lessen them.
    flags : tuple of Flag
        ``few-prints`` where the scatter is in part assumed.
    """

    count: int
    mean: Quantity
    scatter: float | None
    scatter_interval: tuple[float, float] | None
    human: float | None
    next_print: Quantity
    shared: tuple[str, ...]
    flags: tuple[Flag, ...]


def repeat_prints(areas: Sequence[Quantity]) -> Repeats:
    """Return what repeated prints say of the contact area of a technique.

    Parameters
    ----------
    areas : sequence of Quantity, at least one
        Contact areas. [m2]

    Returns
    -------
    Repeats
        Errors that prints share (one scale, one ink, one scanner) stay whole in the mean. Errors of one print
        alone are in the scatter already and are not counted again, unless the prints scatter by less.

    Raises
    ------
    WrongUseError
        ``no-print`` if there is none.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.2 and 4.2.3; the interval of a standard deviation from chi-square.
    """
    ahead, flags = typical_area(areas)
    count = len(areas)
    variance, dof, _ = _spread(areas)
    sources = Counter(source for area in areas for source in area.parts)
    held_in_common = {source for source, times in sources.items() if times > 1}
    whole = total(areas) * (1.0 / count)
    shared = Quantity(
        whole.value, whole.unit, {s: part for s, part in whole.parts.items() if s in held_in_common}
    )
    own = _own_variance(areas, held_in_common)
    by_scatter = Source(f"mean:{_digest(areas)}", _LINE, dof)
    mean = shared.with_part(by_scatter, math.sqrt(max(variance, own) / count))
    observed = _observed(areas)
    return Repeats(
        count=count,
        mean=mean,
        scatter=None if observed is None else math.sqrt(observed),
        scatter_interval=None if observed is None else interval_of_sd(math.sqrt(observed), count - 1),
        human=None if observed is None else math.sqrt(max(0.0, observed - own)),
        next_print=ahead,
        shared=tuple(sorted({source.name for source in held_in_common})),
        flags=flags,
    )


def typical_area(areas: Sequence[Quantity], *, draw: str = "") -> tuple[Quantity, tuple[Flag, ...]]:
    """Return the contact area to expect of one more strike of a technique.

    Parameters
    ----------
    areas : sequence of Quantity, at least one
        [m2]
    draw : str
        Names the strike: how far its area lies off the mean is its own, what the mean is wrong by is shared
        with every strike it is used for.

    Returns
    -------
    Quantity
        Mean of the prints. Besides their measurement it carries the scatter from strike to strike,
        s sqrt(1 + 1/n) on n - 1 degrees of freedom: the strike it is used for is one more draw.
    tuple of Flag
        ``few-prints`` where one or two prints say too little of their scatter, and what is usual is
        counted with them.

    Raises
    ------
    WrongUseError
        If there is no print.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.2 to 4.2.4 (type A evaluation), for a single further observation. With
    fewer than three prints their variance is pooled with an assumed one that counts as four degrees of
    freedom (JCGM 100:2008, 4.2.4 and H.3.6 on pooled estimates).
    """
    if not areas:
        raise WrongUseError(
            "no-print", "There is no print to take an area from.", hint="Add a print of the technique."
        )
    count = len(areas)
    variance, dof, flags = _spread(areas)
    group = f"scatter:{_digest(areas)}"
    of_mean = Source(f"{group}:mean", _LINE, dof, group)
    of_strike = Source(f"{group}:strike:{draw}", _LINE, dof, group)
    mean = total(areas) * (1.0 / count)
    spread = math.sqrt(variance)
    return mean.with_part(of_mean, spread / math.sqrt(count)).with_part(of_strike, spread), flags


def _spread(areas: Sequence[Quantity]) -> tuple[float, float, tuple[Flag, ...]]:
    """Return variance from print to print and its degrees of freedom, what is usual counted with few."""
    count, dof = len(areas), len(areas) - 1.0
    variance = _observed(areas) or 0.0
    if count >= _FEW:
        return variance, dof, ()
    usual = row("scatter", "contact area")
    share, weight = float(usual["share"]), float(usual["dof"])
    mean = math.fsum(area.value for area in areas) / count
    variance = (weight * (share * mean) ** 2 + dof * variance) / (weight + dof)
    return variance, dof + weight, (_few_prints(count, share),)


def _observed(areas: Sequence[Quantity]) -> float | None:
    return float(np.var([area.value for area in areas], ddof=1)) if len(areas) >= _PAIR else None


def _own_variance(areas: Sequence[Quantity], shared: set[Source]) -> float:
    """Return the mean square of the errors that only one print has."""
    squares = (part**2 for area in areas for source, part in area.parts.items() if source not in shared)
    return math.fsum(squares) / len(areas)


def _few_prints(count: int, share: float) -> Flag:
    held = "One print says" if count == 1 else "Two prints say"
    return Flag(
        "few-prints",
        f"{held} too little of how the area varies from strike to strike; {share:.0%} was assumed.",
    )


def _digest(areas: Sequence[Quantity]) -> str:
    key = "+".join(sorted(source.key for area in areas for source in area.parts))
    return hashlib.sha256(key.encode()).hexdigest()[:16]
