"""What a target is: what it is made of, how large it is, how it is held, how many lie on each other.

All values in coherent SI. What the target file leaves out is None.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

TargetKind = Literal["board", "tile", "slab", "plate"]
Holding = Literal["two edges", "held by hand", "all round", "clamped all round"]
Grain = Literal["across", "along"]
Rings = Literal["flat", "quarter", "unknown"]
Between = Literal["touching", "glued", "spaced"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """How a board was cut and how dry it is.

    Parameters
    ----------
    grain : "across" or "along"
        Which way the span runs: across the grain, so that the board splits along it, or along the grain, so
        that its fibres have to break.
    rings : "flat", "quarter" or "unknown"
        Whether the growth rings lie flat in the board or stand upright.
    moisture : float or None
        Mass of water over mass of dry wood.
    """

    grain: Grain
    rings: Rings = "unknown"
    moisture: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a target is.

    Parameters
    ----------
    thickness : float
        Where it breaks. [m]
    width : float or None
        Along the two supports; of a plate held all round its side between the supports. [m]
    length : float or None
        Other side of a plate held all round, between the supports. [m]
    diameter : float or None
        Of a round plate, between the supports. [m]
    thickness_tolerance : float or None
        Bound either way. [m]
    """

    thickness: float
    width: float | None = None
    length: float | None = None
    diameter: float | None = None
    thickness_tolerance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """How a target is held.

    Parameters
    ----------
    how : Holding
    span : float or None
        Between two supports. [m]
    span_tolerance : float or None
        Bound either way. [m]
    """

    how: Holding
    span: float | None = None
    span_tolerance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tested:
    """What slow tests of the person's own gave; it takes the place of the tables.

    Parameters
    ----------
    modulus_of_rupture : float or None
        Bending strength. [Pa]
    breaking_strength : float or None
        Force times span over width, as tiles are marked with. [N]
    breaking_force : float or None
        Of one such target on these supports. [N]
    direction : "across", "along" or None
        Of wood: which way the span of the test ran.
    elastic_modulus : float or None
        [Pa]
    density : float or None
        [kg/m3]
    scatter : float or None
        Coefficient of variation from piece to piece.
    """

    modulus_of_rupture: float | None = None
    breaking_strength: float | None = None
    breaking_force: float | None = None
    direction: Grain | None = None
    elastic_modulus: float | None = None
    density: float | None = None
    scatter: float | None = None

    @property
    def strengths(self) -> tuple[str, ...]:
        """Names of the strengths that were tested."""
        names = ("modulus_of_rupture", "breaking_strength", "breaking_force")
        return tuple(name for name in names if getattr(self, name) is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Several targets at once.

    Parameters
    ----------
    count : int
    between : "touching", "glued" or "spaced"
    """

    count: int = 1
    between: Between = "touching"


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Something that is to break.

    Parameters
    ----------
    name : str
    kind : TargetKind
    material : str
        Species of wood or a row of the table ``breaking_materials``.
    size : Size
    support : Support
    wood : Wood or None
        Of a board.
    tested : Tested
    stack : Stack
    """

    name: str
    kind: TargetKind
    material: str
    size: Size
    support: Support
    wood: Wood | None = None
    tested: Tested = field(default_factory=Tested)
    stack: Stack = field(default_factory=Stack)

    @property
    def is_beam(self) -> bool:
        """Whether it lies on two edges only, on stands or in hands."""
        return self.support.how in {"two edges", "held by hand"}

    @property
    def is_clamped(self) -> bool:
        """Whether its rim cannot turn."""
        return self.support.how == "clamped all round"
