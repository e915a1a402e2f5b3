"""How contact area grows with force, and which simple law of contact that speaks for.

The prints of one technique with the peak force of the strike that left each: A = c F^n is a straight line
between their logarithms. A print holds everything that touched at any time, so its area belongs to the peak.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.quantity import Line, Quantity, Source, fit_line, line_support
from tameshi.reference import row, table

SCATTER = "scatter about the law"


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactLaw:
    """A law of contact and how it fares with the prints.

    Parameters
    ----------
    name : str
    exponent : float
        Of force in contact area.
    written : str
        The exponent as people write it: ``"2/3"``.
    meaning : str
    is_inside : bool
        Whether the exponent's 95 % interval holds it.
    support : float
        Likelihood as a share of that of all laws here: their odds, were they equally likely beforehand and
        no other possible.
    """

    name: str
    exponent: float
    written: str
    meaning: str
    is_inside: bool
    support: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaLaw:
    """Area against force: A = c F^n.

    Parameters
    ----------
    exponent : Quantity
        n, with its 95 % interval and budget.
    level : Quantity
        Logarithm of the area, in square metres, at ``force``.
    force : float
        Geometric mean of the forces. [N]
    forces : (float, float)
        Least and greatest. [N]
    scatter : float
        Standard deviation of the area about the law beyond measurement, relative.
    scatter_interval : (float, float)
        Its 95 % interval.
    count : int
        Prints.
    laws : tuple of ContactLaw
        Greatest exponent first.
    flags : tuple of Flag
    """

    exponent: Quantity
    level: Quantity
    force: float
    forces: tuple[float, float]
    scatter: float
    scatter_interval: tuple[float, float]
    count: int
    laws: tuple[ContactLaw, ...]
    flags: tuple[Flag, ...]

    def area_at(self, force: float) -> Quantity:
        """Return the area the law gives at a force, with the interval of the mean there. [m2]"""
        logarithm = self.level + self.exponent * math.log(force / self.force)
        value = math.exp(logarithm.value)
        parts = {source: value * part for source, part in logarithm.parts.items()}
        return Quantity(value, "m2", parts, (math.exp(logarithm.low), math.exp(logarithm.high)))

    def reaches(self, force: float) -> bool:
        """Return whether a force is near enough to those of the fit to use the law there."""
        beyond = float(row("pressure_limits", "beyond forces")["limit"])
        least, greatest = self.forces
        return least / beyond <= force <= greatest * beyond

    def area_of(self, force: Quantity, *, draw: str) -> Quantity:
        """Return the contact area to expect of a strike that left no print of its own.

        Parameters
        ----------
        force : Quantity
            Its peak force; what is uncertain of it moves the area along the law. [N]
        draw : str
            Names the strike: how far its area lies off the law is its own.

        Raises
        ------
        UnmeasurableError
            ``beyond-law`` where the force is too far from those the law was fitted to.
        """
        if not self.reaches(force.value):
            least, greatest = self.forces
            raise UnmeasurableError(
                "beyond-law",
                f"{force.value:.0f} N is too far from the law's prints, {least:.0f} to {greatest:.0f} N.",
                hint="Take a print at that force.",
            )
        area = self.area_at(force.value)
        parts = dict(area.parts)
        slope = self.exponent.value * area.value / force.value
        for source, part in force.parts.items():
            parts[source] = parts.get(source, 0.0) + slope * part
        own = Source(f"off-law:{draw}", SCATTER, self.count - 2.0)
        parts[own] = self.scatter * area.value
        return Quantity(area.value, "m2", parts)

    @property
    def inside(self) -> tuple[ContactLaw, ...]:
        """The laws that the exponent's interval holds, best supported first."""
        return tuple(sorted((law for law in self.laws if law.is_inside), key=lambda law: -law.support))


def area_law(forces: Sequence[Quantity], areas: Sequence[Quantity]) -> AreaLaw:
    """Fit contact area against peak force.

    Parameters
    ----------
    forces : sequence of Quantity
        Peak force of the strike that left each print. [N]
    areas : sequence of Quantity, as many
        Contact area of each print. [m2]

    Returns
    -------
    AreaLaw

    Raises
    ------
    WrongUseError
        If forces and areas differ in number.
    UnmeasurableError
        ``too-few-prints``, ``narrow-forces`` where the forces are too much alike, or ``not-positive``.

    Notes
    -----
    Both are taken as logarithms, so that relative errors and scatter count the same at any size. Fit and
    interval: :func:`tameshi.quantity.fit_line`. Laws: K. L. Johnson, Contact Mechanics (1985), chapters 3 and
    4 (page from memory).
    """
    _require_enough(forces, areas)
    xs, ys = [_logarithm(force) for force in forces], [_logarithm(area) for area in areas]
    _require_spread(forces, xs)
    line = fit_line(xs, ys, key=f"area-law:{_digest(areas)}", name=SCATTER)
    values = [force.value for force in forces]
    return AreaLaw(
        exponent=line.slope,
        level=line.level,
        force=math.exp(line.pivot),
        forces=(min(values), max(values)),
        scatter=line.scatter,
        scatter_interval=line.scatter_interval,
        count=line.count,
        laws=_laws(line, xs, ys),
        flags=tuple(_odd_prints(line, xs, ys)),
    )


def in_words(law: AreaLaw) -> str:
    """Return which laws of contact the exponent speaks for, and never more than it can tell."""
    inside = law.inside
    outside = [one for one in law.laws if not one.is_inside]
    excluded = f" The interval excludes {_listed(outside)}." if outside else ""
    if not inside:
        return f"None of the simple laws fits.{excluded}"
    if len(inside) == 1:
        best = inside[0]
        return f"Of the simple laws only {_named(best)} fits: {best.meaning}.{excluded}"
    best, second = inside[:2]
    odds = best.support / second.support if second.support > 0.0 else math.inf
    told = f"{best.name} is {odds:.1f} times as likely as {second.name}" if odds < 1e3 else ""  # noqa: PLR2004
    apart = f" Were nothing else possible, {told}." if told else ""
    return f"These prints cannot tell {_listed(inside)} apart.{apart}{excluded}"


def _laws(line: Line, xs: Sequence[Quantity], ys: Sequence[Quantity]) -> tuple[ContactLaw, ...]:
    rows = table("area_laws").rows
    exponents = [float(Fraction(one["exponent"])) for one in rows.values()]
    support = line_support(xs, ys, exponents)
    shares = np.exp(support - support.max())
    shares /= shares.sum()
    laws = [
        ContactLaw(
            name=key,
            exponent=exponent,
            written=one["exponent"],
            meaning=one["meaning"],
            is_inside=line.slope.low <= exponent <= line.slope.high,
            support=float(share),
        )
        for (key, one), exponent, share in zip(rows.items(), exponents, shares, strict=True)
    ]
    return tuple(sorted(laws, key=lambda law: -law.exponent))


def _odd_prints(line: Line, xs: Sequence[Quantity], ys: Sequence[Quantity]) -> list[Flag]:
    """Flag prints that lie farther off than the others let expect.

    Residuals are measured by the scatter of the others (externally studentised); the chance is shared out
    over all prints (Bonferroni). Every print stays in the fit.
    """
    from scipy.special import stdtrit  # noqa: PLC0415  0.15 s that --help need not pay

    x = np.array([one.value for one in xs]) - line.pivot
    off = np.array([one.value for one in ys]) - line.level.value - line.slope.value * x
    count, dof = line.count, line.count - 3
    leverage = 1.0 / count + x**2 / float(x @ x)
    square = float(off @ off)
    others = np.maximum(square - off**2 / (1.0 - leverage), 1e-12 * square) / dof
    if not square > 0.0:
        return []
    distance = np.abs(off) / np.sqrt(others * (1.0 - leverage))
    chance = float(row("area_law_limits", "odd print")["limit"])
    limit = float(stdtrit(dof, 1.0 - 0.5 * chance / count))
    return [
        Flag(
            "odd-print",
            f"Print {index + 1} of {count} is {math.expm1(off[index]):+.0%} off the law; it was kept.",
        )
        for index in np.flatnonzero(distance > limit)
    ]


def _require_enough(forces: Sequence[Quantity], areas: Sequence[Quantity]) -> None:
    if len(forces) != len(areas):
        raise WrongUseError("unpaired", f"{len(forces)} forces do not go with {len(areas)} areas.")
    fewest = int(row("area_law_limits", "fewest prints")["limit"])
    if len(areas) < fewest:
        held = {0: "No print has", 1: "One print has"}.get(len(areas), f"{len(areas)} prints have")
        raise UnmeasurableError(
            "too-few-prints",
            f"{held} the force of the strike that left it; a law of area against force takes {fewest}.",
            hint="Take more prints, each told which strike it is of, from soft to hard strikes.",
        )
    if min(one.value for one in (*forces, *areas)) <= 0.0:
        raise UnmeasurableError(
            "not-positive", "A force or an area is not above zero.", hint="Leave that print out."
        )


def _require_spread(forces: Sequence[Quantity], logarithms: Sequence[Quantity]) -> None:
    values = [force.value for force in forces]
    ratio, least = max(values) / min(values), float(row("area_law_limits", "least range")["limit"])
    hint = "Strike softer and harder on purpose: a factor of two between the least and the greatest force."
    told = f"The forces run from {min(values):.0f} N to {max(values):.0f} N only"
    if ratio < least:
        message = f"{told}, a factor of {ratio:.2f}; a law takes {least:g} or more."
        raise UnmeasurableError("narrow-forces", message, hint=hint)
    spread = float(np.std([one.value for one in logarithms], ddof=1))
    common = set.intersection(*(set(one.parts) for one in logarithms))
    alone = [
        math.hypot(*(part for source, part in one.parts.items() if source not in common))
        for one in logarithms
    ]
    own = math.sqrt(math.fsum(u * u for u in alone) / len(alone))
    if spread < float(row("area_law_limits", "least spread")["limit"]) * own:
        message = f"{told}, and each is uncertain by {own:.0%} of its own."
        raise UnmeasurableError("narrow-forces", message, hint=hint)


def _logarithm(quantity: Quantity) -> Quantity:
    parts = {source: part / quantity.value for source, part in quantity.parts.items()}
    return Quantity(math.log(quantity.value), "1", parts)


def _named(law: ContactLaw) -> str:
    return f"{law.name} ({law.written})"


def _listed(laws: Sequence[ContactLaw]) -> str:
    names = [_named(law) for law in laws]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _digest(areas: Sequence[Quantity]) -> str:
    key = "+".join(sorted(source.key for area in areas for source in area.parts))
    return hashlib.sha256(key.encode()).hexdigest()[:16]
