"""Choices that influence a measured print, in one record that can be stored beside the result."""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class FootprintSettings:
    """How a print is measured.

    Parameters
    ----------
    gap : float
        Gaps in the ink up to this wide count as contact (between skin ridges), in metres.
    smallest_patch : float
        A piece of ink smaller than this is set aside as debris, unless the whole print is of
        that size, in square metres.
    faint : float
        A piece whose ink is fainter than this share of the main patch's is set aside as a stain.
    apart : float
        Patches at least so far from each other, edge to edge, are prints of their own, in metres.
    overview_scale : float
        Metres a pixel of the picture in which ink is first looked for.
    finest_scale : float
        Never rectify finer than this, in metres a pixel: paper holds no more.
    most_pixels : int
        Bound on the pixels of the rectified print.
    """

    gap: float = 0.001
    smallest_patch: float = 15e-6
    faint: float = 0.35
    apart: float = 0.04
    overview_scale: float = 0.0003
    finest_scale: float = 0.00002
    most_pixels: int = 800_000

    def as_dict(self) -> dict[str, Any]:
        """Return the settings by name, for storing."""
        return asdict(self)
