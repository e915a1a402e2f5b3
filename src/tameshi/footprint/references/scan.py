"""Scale from a flatbed scanner's resolution, stated or written in the file."""

import math

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import stated_plane
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row

INCH = 0.0254

_LOWEST, _HIGHEST = 50.0, 4800.0  # pixels an inch that a scanner can be set to
_BELIEVED_FROM = 100.0  # 72 and 96 stand in files that no scanner has seen
_LARGEST_GLASS = 0.7  # metres; a larger picture is no scan at the resolution it claims
_FORM = "scan:600"


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return whether the file holds a resolution that a scanner would have written."""
    if asked.dpi is None or min(asked.dpi) < _BELIEVED_FROM or asked.focal is not None:
        # cameras write resolutions that mean nothing; what has a focal length is no scanner
        return "none", ""
    size = max(n * INCH / d for n, d in zip(view.pixels.shape[1::-1], asked.dpi, strict=True))
    if size > _LARGEST_GLASS:
        return "none", ""
    return "whole", f"a resolution of {asked.dpi[0]:.0f} pixels an inch in the file"


def establish(view: View, asked: Asked) -> Reference:
    """Return the reference that a scanner's resolution gives.

    Raises
    ------
    UnmeasurableError
        ``no-reference`` where no resolution is stated and the file holds none.
    WrongUseError
        If the stated resolution is none.
    """
    dpi = _stated(asked.argument) or asked.dpi
    if dpi is None or min(dpi) < _LOWEST:
        raise UnmeasurableError(
            "no-reference",
            "The file does not say at how many pixels an inch it was scanned.",
            hint=f"Say it: {_FORM}.",
        )
    half = float(row("prints", "scanner-scale")["half_width"])
    across, down = (INCH / d for d in dpi)
    height, width = view.pixels.shape[:2]
    parts = {Source(f"scanner:{way}", "scanner's scale"): rectangular_u(half) for way in ("across", "along")}
    origin = "as stated" if asked.argument else "as written in the file"
    return Reference(
        kind="scan",
        plane=stated_plane((across, down)),
        region=Box(0.0, 0.0, width * across, height * down),
        stretch=1.0,
        area_factor=Quantity(1.0, "1", parts),
        tilt=0.0,
        spread=UNKNOWN_SPREAD,
        flags=(),
        key=asked.key,
        said=f"Flatbed scan at {dpi[0]:.0f} pixels an inch, {origin}.",
    )


def _stated(argument: str) -> tuple[float, float] | None:
    if not argument:
        return None
    try:
        dpi = float(argument)
    except ValueError:
        dpi = math.nan
    if not _LOWEST <= dpi <= _HIGHEST:
        raise WrongUseError(
            "wrong-resolution",
            f"{argument!r} is no scanner resolution.",
            hint=f"Give pixels an inch from {_LOWEST:.0f} to {_HIGHEST:.0f}: {_FORM}.",
        )
    return dpi, dpi


SCAN = Kind("scan", _FORM, sighting, establish)
"""A flatbed scan of any paper."""
