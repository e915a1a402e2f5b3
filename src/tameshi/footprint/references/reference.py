"""What gives a picture its scale, and a registry of the kinds there are.

A reference kind is one small module with two functions: what in the picture speaks for it, and how
it is established. ``auto`` asks all of them and takes the only one that is wholly there; where two
are, or one is there in part, it refuses and says what it saw.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.known_lens import KnownLens
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import Plane
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.spread import Spread
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import Sheet
from tameshi.footprint.references.picked import Picked
from tameshi.quantity import Quantity

Strength = Literal["whole", "part", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a person says about the reference.

    Parameters
    ----------
    argument : str
        What follows the colon of the kind: ``"600"`` of ``"scan:600"``.
    bar : float or None
        Measured length of a bar on the printed target sheet, in metres.
    paper : str or None
        Paper of the target sheet or the plain one.
    dpi : (float, float) or None
        Pixels an inch across and down, as a scanner wrote them into the file.
    focal : float or None
        Focal length as a share of the picture's diagonal, as a camera wrote it into the file.
    key : str
        Identity of the picture: errors of its own carry it.
    picked : Picked or None
        Points picked by hand.
    lens : KnownLens or None
        What is known of the camera's lens.
    """

    argument: str = ""
    bar: float | None = None
    paper: str | None = None
    dpi: tuple[float, float] | None = None
    focal: float | None = None
    key: str = "picture"
    picked: Picked | None = None
    lens: KnownLens | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """Scale and place of a print, established.

    Parameters
    ----------
    kind : str
        ``"target"``, ``"scan"``, ``"sheet"``, ``"grid"``, ``"ruler"`` or ``"points"``.
    plane : Plane
        From metres as the reference was drawn, to pixels.
    region : Box
        Where ink is looked for, in the same metres; a part of it may lie beyond the picture.
    stretch : float
        True metres for each metre as drawn (a printer's scaling).
    area_factor : Quantity
        What areas as drawn are multiplied by; its parts are the errors of scale.
    tilt : float
        Angle between the paper's normal and the line of sight, in degrees.
    spread : Spread
        What the picture does to a sharp edge.
    flags : tuple of Flag
    key : str
        Identity of the picture: errors of its own carry it.
    local : callable or None
        ``area_factor`` for the part of the paper that holds the print, where it depends on the place.
    straight : View or None
        The picture to measure in, where it is not the one that was given: straightened, printed
        lines taken out.
    sheet : Sheet or None
        Layout of the target sheet.
    said : str
        One sentence: which reference, and what was found of it.
    framed : bool
        Whether nothing but paper, ink and shadow lies in the region.
    edge : str
        What the region's edge is called.
    lens : KnownLens or None
        The camera's lens, where the reference shows it.
    followed : Box or None
        The part of the region where paper was seen to lie bare, but for ink; None where that is all of it.
    covered : (n, 2) array
        Places at that edge where something lies over it, in metres: dark there is no ink.
    """

    kind: str
    plane: Plane
    region: Box
    stretch: float
    area_factor: Quantity
    tilt: float
    spread: Spread
    flags: tuple[Flag, ...]
    key: str
    said: str
    local: Callable[[Box], Quantity] | None = None
    straight: View | None = None
    sheet: Sheet | None = None
    framed: bool = False
    edge: str = "the edge of the picture"
    lens: KnownLens | None = None
    followed: Box | None = None
    covered: FloatArray = field(default_factory=lambda: np.zeros((0, 2)))


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of reference.

    Parameters
    ----------
    name : str
        As people type it.
    form : str
        How it is written, with its argument: ``"scan:600"``.
    sighting : callable
        How much of it a picture shows, and what that is in words.
    establish : callable
        Makes the reference or raises UnmeasurableError or WrongUseError.
    """

    name: str
    form: str
    sighting: Callable[[View, Asked], tuple[Strength, str]]
    establish: Callable[[View, Asked], Reference]


def learnt(lens: Lens, u: float, asked: Asked) -> KnownLens | None:
    """Return what a reference shows of the lens, to be kept; None where it shows nothing."""
    if u <= 0.0 or asked.lens is not None:
        return None
    shape = max(lens.width, lens.height) / min(lens.width, lens.height)
    return KnownLens(k=lens.k, u=u, shape=shape, focal=asked.focal)


def lens_said(k: float, *, known: bool = False) -> str:
    """Return the words about a lens that was undone, to go on a sentence; empty where none was."""
    if not k:
        return ""
    return f", a lens that bends lines undone ({100.0 * k:+.1f} %{', as it is known' if known else ''})"
