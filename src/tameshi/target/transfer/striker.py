"""Effective mass and speed of what struck: said, or drawn from published strikes that fit the impulse.

A rigid plate gives J = (1 + e) m v and nothing more of mass and speed. Whoever filmed the speed, or knows the
mass, has the other. Where neither is known the published strikes of the kind give pairs of both, of which
those count that make the measured impulse.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.reference import Row, row, table
from tameshi.target.contact import damping_for
from tameshi.target.transfer.spread import Known, draw_known

FloatArray = NDArray[np.float64]
_CANDIDATES = 20  # drawn for each that is kept
_FEWEST_ALIKE = 0.005  # share of candidates that carries the weight; below, the strike is unlike them


@dataclass(frozen=True, slots=True, kw_only=True)
class Striker:
    """What is known of the striker.

    Parameters
    ----------
    mass : Range or Quantity or None
        Effective mass. [kg]
    speed : Range or Quantity or None
        At contact. [m/s]
    published : str or None
        Key of the reference table ``strikers``, used where neither is known.
    """

    mass: Known | None = None
    speed: Known | None = None
    published: str | None = None

    @property
    def is_known(self) -> bool:
        """Whether anything is known of it beyond the impulse."""
        return self.mass is not None or self.speed is not None or self.published is not None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strikers:
    """Draws of a striker that agree with the impulse.

    Parameters
    ----------
    mass : (d,) array [kg]
    speed : (d,) array [m/s]
    damping : (d,) array
        q of the contact with the plate.
    kept : (d,) int array
        Which draw of the impulse each belongs to.
    likeness : float or None
        Of published strikes: share of the candidates that carry the weight.
    """

    mass: FloatArray
    speed: FloatArray
    damping: FloatArray
    kept: NDArray[np.int64]
    likeness: float | None = None

    @property
    def is_unlike(self) -> bool:
        """Whether hardly any published strike makes this impulse."""
        return self.likeness is not None and self.likeness < _FEWEST_ALIKE


def published_striker(technique: str | None) -> str | None:
    """Return which published strikes a technique belongs to, None where to none."""
    words = set((technique or "").lower().replace("-", " ").split())
    for key, entry in table("strikers").rows.items():
        if words & set(entry["words"]):
            return key
    return None


def draw_restitution(generator: np.random.Generator, count: int) -> tuple[FloatArray, FloatArray]:
    """Return restitutions of which nothing is known, and the damping q of each."""
    e = generator.uniform(0.0, 1.0, count)
    return e, damping_of(e)


def damping_of(e: FloatArray) -> FloatArray:
    """Return q for restitutions; below the least one there is, the pulse keeps its shape."""
    return damping_for(np.maximum(e, float(row("transfer_limits", "least-restitution")["value"])))


def draw_strikers(striker: Striker, impulse: FloatArray, generator: np.random.Generator) -> Strikers:
    """Return masses and speeds of the striker that make the impulse.

    Parameters
    ----------
    striker : Striker
    impulse : (d,) array
        Draws of the measured impulse. [N s]
    generator : numpy Generator

    Raises
    ------
    WrongUseError
        ``striker-unknown`` where nothing is known of it.
    UnmeasurableError
        ``striker-contradicts`` where mass and speed that were said cannot make the impulse.
    """
    count = len(impulse)
    everyone = np.arange(count)
    if striker.mass is not None and striker.speed is not None:
        return _both(striker.mass, striker.speed, impulse, generator)
    if striker.mass is None and striker.speed is None:
        return _published(striker, impulse, generator)
    e, q = draw_restitution(generator, count)
    if striker.speed is not None:
        speed = draw_known(striker.speed, generator, count)
        mass = impulse / ((1.0 + e) * speed)
    else:
        assert striker.mass is not None  # noqa: S101  one of them is known
        mass = draw_known(striker.mass, generator, count)
        speed = impulse / ((1.0 + e) * mass)
    return Strikers(mass=mass, speed=speed, damping=q, kept=everyone)


def _both(mass: Known, speed: Known, impulse: FloatArray, generator: np.random.Generator) -> Strikers:
    """Return draws of mass and speed whose impulse leaves room for a restitution from 0 to 1."""
    heavy, fast = (draw_known(known, generator, len(impulse)) for known in (mass, speed))
    e = impulse / (heavy * fast) - 1.0
    kept = np.flatnonzero((e >= 0.0) & (e <= 1.0))
    if len(kept) < float(row("transfer_limits", "fewest-agreeing")["value"]) * len(impulse):
        momentum, made = float(np.median(heavy * fast)), float(np.median(impulse))
        raise UnmeasurableError(
            "striker-contradicts",
            f"A striker of {momentum:.3g} kg m/s leaves {momentum:.3g} to {2.0 * momentum:.3g} N s; "
            f"the plate took {made:.3g} N s.",
            hint="Check mass and speed; give only the one that is better known.",
        )
    return Strikers(mass=heavy[kept], speed=fast[kept], damping=damping_of(e[kept]), kept=kept)


def _published(striker: Striker, impulse: FloatArray, generator: np.random.Generator) -> Strikers:
    """Return draws of published strikes, each as often as its mass and speed make the impulse."""
    if striker.published is None:
        raise WrongUseError(
            "striker-unknown", "Nothing is known of the striker.", hint="Give its mass or its speed."
        )
    entry = row("strikers", striker.published)
    count = len(impulse)
    of = np.repeat(np.arange(count), _CANDIDATES)
    mean, root = _logarithms(entry)
    mass = np.exp(mean[0] + root[0, 0] * generator.standard_normal(len(of)))
    e, q = draw_restitution(generator, len(of))
    speed = impulse[of] / ((1.0 + e) * mass)
    # density of ln v where ln m is given; J being fixed, dv/v is the same for all
    expected = mean[1] + root[1, 0] * (np.log(mass) - mean[0]) / root[0, 0]
    weight = np.exp(-0.5 * ((np.log(speed) - expected) / root[1, 1]) ** 2)
    total = float(weight.sum())
    if not total > 0.0:
        raise UnmeasurableError(
            "unlike-published",
            f"No published {striker.published} makes an impulse like this one.",
            hint="Film the speed, or give the effective mass.",
        )
    likeness = total**2 / float((weight**2).sum()) / len(of)
    kept = generator.choice(len(of), size=count, p=weight / total)
    return Strikers(
        mass=mass[kept],
        speed=speed[kept],
        damping=q[kept],
        kept=of[kept],
        likeness=likeness,
    )


def _logarithms(entry: Row) -> tuple[FloatArray, FloatArray]:
    """Return mean, and root of the covariance, of ln m and ln v: lognormal with the published moments."""
    rel = [float(entry[f"{of}_sd"]) / float(entry[of]) for of in ("mass", "speed")]
    spread = [math.log1p(one**2) for one in rel]
    shared = math.log1p(float(entry["correlation"]) * rel[0] * rel[1])
    mean = np.array([math.log(float(entry[of])) for of in ("mass", "speed")]) - 0.5 * np.array(spread)
    covariance = np.array([[spread[0], shared], [shared, spread[1]]])
    return mean, np.linalg.cholesky(covariance)
