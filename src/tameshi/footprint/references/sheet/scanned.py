"""Whether a sheet lies on a scanner's glass: a file's resolution is a scanner's word then.

Cameras and programs write resolutions that mean nothing. A sheet gives them away: under a scanner it is as
large as the resolution says, and square whatever its size; a photo of A4 or Letter is neither, or it has
their proportions and not their size.
"""

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.layout import papers, sheet_layout
from tameshi.reference import table

INCH = 0.0254

_FITS = 0.02  # of a side: a sheet as large as the file's resolution says
_SQUARE_ANGLE, _SQUARE_SIDES = 0.015, 0.01  # cosine of its corners; of a side, how opposite ones differ
_PROPORTIONS = 0.02  # of length over width: so near A4's or Letter's it may be one of them


def lies_on_glass(corners: FloatArray, dpi: tuple[float, float]) -> bool:
    """Return whether a sheet is as a scanner would show it.

    Parameters
    ----------
    corners : (4, 2) array
        Clockwise, in pixels.
    dpi : (float, float)
        Pixels an inch across and down, as the file has them.
    """
    places = corners * INCH / np.array(dpi)
    sides = np.roll(places, -1, axis=0) - places
    lengths = np.linalg.norm(sides, axis=1)
    short, long = sorted((0.5 * float(lengths[0] + lengths[2]), 0.5 * float(lengths[1] + lengths[3])))
    sheets = [(sheet.width, sheet.height) for sheet in map(sheet_layout, papers())]
    if _is_one_of(sheets, short, long):
        return True
    if not _is_square(sides / lengths[:, None], lengths):
        return False
    others = [(float(row["width"]), float(row["height"])) for row in table("sheet_sizes").rows.values()]
    if _is_one_of(others, short, long):
        return True
    # a scale is taken from A4 and Letter only: what has neither's proportions is no rival to the scanner
    return all(abs(long / short * width / height - 1.0) > _PROPORTIONS for width, height in sheets)


def _is_one_of(sizes: list[tuple[float, float]], short: float, long: float) -> bool:
    return any(
        abs(short / width - 1.0) < _FITS and abs(long / height - 1.0) < _FITS for width, height in sizes
    )


def _is_square(ways: FloatArray, lengths: FloatArray) -> bool:
    """Return whether sides, (4, 2) ways of length one, are a rectangle's: seen from straight above."""
    corners = np.abs(np.sum(ways * np.roll(ways, -1, axis=0), axis=1))
    opposite = np.abs(lengths[:2] / lengths[2:] - 1.0)
    return bool(corners.max() < _SQUARE_ANGLE and opposite.max() < _SQUARE_SIDES)
