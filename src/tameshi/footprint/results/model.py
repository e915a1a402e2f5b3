"""A measured contact print: what the rest of the bench gets to see."""

from dataclasses import dataclass, field

from tameshi.errors import Flag
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.known_lens import KnownLens
from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.results.corrections import Corrections
from tameshi.footprint.results.settings import FootprintSettings
from tameshi.quantity import Measured, Quantity


@dataclass(frozen=True, slots=True)
class Axes:
    """Principal axes of a patch: those of the ellipse with the same second moments.

    Parameters
    ----------
    major, minor : Quantity
        Their whole lengths, in metres.
    direction : Quantity or Missing
        Of the longer one: angle from across the sheet towards down it, over -90 up to 90 degrees, in
        radians; missing where the patch is about as wide as long.
    """

    major: Quantity
    minor: Quantity
    direction: Measured


@dataclass(frozen=True, slots=True)
class Spacing:
    """Distance between the centroids of two neighbouring patches.

    Parameters
    ----------
    between : (int, int)
        Their numbers.
    distance : Quantity
        In metres.
    """

    between: tuple[int, int]
    distance: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class SeparatePrint:
    """One of the prints on a sheet: patches near each other.

    Parameters
    ----------
    index : int
        From 1, left to right, or from the top down.
    contact_area : Quantity
    inked_area : Quantity or Missing
        In square metres.
    centroid : (float, float)
        On the paper, in metres.
    patches : tuple of int
        Their numbers.
    """

    index: int
    contact_area: Quantity
    inked_area: Measured
    centroid: tuple[float, float]
    patches: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """One patch of a print.

    Parameters
    ----------
    index : int
        From 1, largest first.
    contact_area : Quantity
        In square metres; gaps between ridges count.
    inked_area : Quantity or Missing
        In square metres; gaps are left out. Missing where the picture cannot show them.
    centroid : (float, float)
        On the paper, in metres from the top left corner of the sheet (of the picture, for a scan).
    width, height : float
        Of the upright box around it, in metres.
    perimeter : float
        Length of its edges, hollows included, in metres.
    hollow_area : float
        Area of its hollows, which are left out of the contact area, in square metres.
    outlines : tuple of (n, 2) array
        Closed curves on the paper, in metres: the outer one, then one for each hollow.
    axes : Axes
        How long, how wide and which way it lies.
    """

    index: int
    contact_area: Quantity
    inked_area: Measured
    centroid: tuple[float, float]
    width: float
    height: float
    perimeter: float
    hollow_area: float
    outlines: tuple[FloatArray, ...]
    axes: Axes


@dataclass(frozen=True, slots=True)
class SetAside:
    """Ink that is not contact.

    Parameters
    ----------
    kind : str
        ``"droplet"``, ``"speck"``, ``"smear"``, ``"line"``, ``"stain"``, ``"border"`` or
        ``"finger-mark"``; by hand ``"left-out"`` or ``"outside-lasso"``.
    area : float
        In square metres, roughly.
    centroid : (float, float)
        On the paper, in metres.
    """

    kind: str
    area: float
    centroid: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceFacts:
    """What gave the print its scale.

    Parameters
    ----------
    kind : str
        ``"target"``, ``"scan"``, ``"sheet"``, ``"grid"``, ``"ruler"`` or ``"points"``.
    scale : float
        Metres a pixel of the rectified print.
    tilt_deg : float
        Angle between the paper's normal and the line of sight, in degrees.
    residual_px : float
        Root mean square misfit of the reference points, in pixels of the photo.
    said : str
        What was found, in a sentence.
    lens : KnownLens or None
        The camera's lens, where the reference shows it.
    """

    kind: str
    scale: float
    tilt_deg: float
    residual_px: float
    said: str
    lens: KnownLens | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Footprint:
    """A measured contact print.

    Parameters
    ----------
    reference : ReferenceFacts
    contact_area : Quantity
    inked_area : Quantity or Missing
        Of all patches, in square metres.
    patches : tuple of Patch
        Largest first.
    prints : tuple of SeparatePrint
        One, unless patches lie far from each other.
    spacings : tuple of Spacing
        Between neighbouring patches of a print.
    set_aside : tuple of SetAside
        Largest first.
    flags : tuple of Flag
    settings : FootprintSettings
        What it was measured with.
    picture : (h, w, 3) array of uint8
        The rectified print, read-only.
    box : Box
        The part of the paper the picture shows, in true metres.
    corrections : Corrections
        What was corrected by hand.
    left_out : tuple of (n, 2) array
        Outlines of what was left out by hand, on the paper, in metres.
    """

    reference: ReferenceFacts
    contact_area: Quantity
    inked_area: Measured
    patches: tuple[Patch, ...]
    prints: tuple[SeparatePrint, ...]
    spacings: tuple[Spacing, ...]
    set_aside: tuple[SetAside, ...]
    flags: tuple[Flag, ...]
    settings: FootprintSettings
    picture: Pixels
    box: Box
    corrections: Corrections = field(default_factory=Corrections)
    left_out: tuple[FloatArray, ...] = ()
