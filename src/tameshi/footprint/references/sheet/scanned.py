"""Whether a sheet lies on a scanner's glass: a file's resolution is a scanner's word then.

Cameras and programs write resolutions that mean nothing. A sheet gives them away: under a scanner it is as
large as the resolution says, and square whatever its size; a photo of A4 or Letter is neither, or it has
their proportions and not their size. A resolution that somebody typed is held against the sheet likewise.
"""

import numpy as np

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.geometry.plane import Plane, to_metres
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import papers, sheet_layout
from tameshi.footprint.references.sheet.quad import find_quads
from tameshi.reference import table

INCH = 0.0254

_FITS = 0.02  # of a side: a sheet as large as the file's resolution says
_SQUARE_ANGLE, _SQUARE_SIDES = 0.015, 0.01  # cosine of its corners; of a side, how opposite ones differ
_PROPORTIONS = 0.02  # of length over width: so near A4's or Letter's it may be one of them
_SMALLEST_PAD = 0.18  # metres: squared paper of A5 and larger is common, of A6 rare
_SAME_DPI = 0.02  # of a resolution: scanners and programs round


def resolution_flags(
    view: View, dpi: tuple[float, float], written: tuple[float, float] | None
) -> tuple[Flag, ...]:
    """Hold a resolution that somebody typed against the file's own, and against a whole sheet in the scan.

    Parameters
    ----------
    view : View
    dpi : (float, float)
        Pixels an inch across and down that the scale is taken from.
    written : (float, float) or None
        The same as the file has them.

    Raises
    ------
    UnmeasurableError
        ``resolution-contradicted`` where the sheet has A4's or Letter's proportions and no size of paper.
    """
    agrees = written is not None and _agree(dpi, written)
    flags = []
    if written is not None and not agrees:
        message = (
            f"The scale is taken from {dpi[0]:.0f} pixels an inch as stated; the file says {written[0]:.0f}: "
            f"by that the area would be {(dpi[0] * dpi[1]) / (written[0] * written[1]):.2g} times as large."
        )
        flags.append(Flag("resolution-doubtful", message))
    whole = [quad for quad in view.once(find_quads) if not quad.cut]
    if len(whole) == 1:
        flags += _doubt_by_sheet(whole[0].corners, dpi, believed=agrees)
    return tuple(flags)


def pitch_flags(view: View, plane: Plane) -> tuple[Flag, ...]:
    """Hold a pitch that somebody typed against a whole sheet of A4's or Letter's proportions in view.

    Parameters
    ----------
    view : View
    plane : Plane
        Of the squares, from metres at that pitch to pixels.
    """
    whole = [quad for quad in view.once(find_quads) if not quad.cut]
    if len(whole) != 1:
        return ()
    places = to_metres(plane, whole[0].corners)
    short, long, square = _measured(places)
    mains = [(sheet.width, sheet.height) for sheet in map(sheet_layout, papers())]
    like = [(w, h) for w, h in mains if abs(long / short * w / h - 1.0) <= _PROPORTIONS]
    pads = [(w, h) for w, h in _other_sizes() if h >= _SMALLEST_PAD]
    if not square or not like or _is_one_of([*mains, *pads], short, long):
        return ()
    width, _ = like[0]
    name = "A4" if like[0] == mains[0] else "Letter"
    size, times = f"{short * 1e3:.0f} by {long * 1e3:.0f} mm", width / short
    message = (
        f"At the stated pitch the sheet in view would be {size}; if it is {name}, the pitch is {times:.2g} "
        f"times the stated one and the area {times**2:.2g} times as large."
    )
    return (Flag("pitch-doubtful", message),)


def _agree(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(abs(a / b - 1.0) < _SAME_DPI for a, b in zip(one, other, strict=True))


def _doubt_by_sheet(corners: FloatArray, dpi: tuple[float, float], *, believed: bool) -> list[Flag]:
    """Doubt a resolution at which the sheet has no usual size; ``believed`` where the file says the same."""
    short, long, square = _sides(corners, dpi)
    mains = [(sheet.width, sheet.height) for sheet in map(sheet_layout, papers())]
    if square and _is_one_of(mains, short, long):
        return []
    like = [(w, h) for w, h in mains if abs(long / short * w / h - 1.0) <= _PROPORTIONS]
    known = square and _is_one_of(_other_sizes(), short, long)
    if known and (believed or not like):
        return []
    size = f"{short * 1e3:.0f} by {long * 1e3:.0f} mm"
    said = f"At {dpi[0]:.0f} pixels an inch the sheet in the scan would be {size}"
    would = ""
    if like:
        name = "A4" if like[0] == mains[0] else "Letter"
        would = f"; if it is {name}, it was scanned at about {dpi[0] * short / like[0][0]:.0f}"
    if like and not known:
        raise UnmeasurableError(
            "resolution-contradicted",
            f"{said}, which is no size of paper{would}.",
            hint="State the resolution that the scanner was set to; a photo is no scan: leave --reference "
            "out. Of a sheet cut to such a size scan the part with the print.",
        )
    return [
        Flag(
            "resolution-doubtful",
            f"{said}{would or ', which is no usual size of paper'}: make sure of the resolution.",
        )
    ]


def lies_on_glass(corners: FloatArray, dpi: tuple[float, float]) -> bool:
    """Return whether a sheet is as a scanner would show it.

    Parameters
    ----------
    corners : (4, 2) array
        Clockwise, in pixels.
    dpi : (float, float)
        Pixels an inch across and down, as the file has them.
    """
    short, long, square = _sides(corners, dpi)
    sheets = [(sheet.width, sheet.height) for sheet in map(sheet_layout, papers())]
    if _is_one_of(sheets, short, long):
        return True
    if not square:
        return False
    if _is_one_of(_other_sizes(), short, long):
        return True
    # a scale is taken from A4 and Letter only: what has neither's proportions is no rival to the scanner
    return all(abs(long / short * width / height - 1.0) > _PROPORTIONS for width, height in sheets)


def _sides(corners: FloatArray, dpi: tuple[float, float]) -> tuple[float, float, bool]:
    """Return the shorter and the longer side in metres, and whether the corners are square."""
    return _measured(corners * INCH / np.array(dpi))


def _measured(places: FloatArray) -> tuple[float, float, bool]:
    """Return the same from the corners' places on the paper, in metres."""
    sides = np.roll(places, -1, axis=0) - places
    lengths = np.linalg.norm(sides, axis=1)
    short, long = sorted((0.5 * float(lengths[0] + lengths[2]), 0.5 * float(lengths[1] + lengths[3])))
    return short, long, _is_square(sides / lengths[:, None], lengths)


def _other_sizes() -> list[tuple[float, float]]:
    return [(float(row["width"]), float(row["height"])) for row in table("sheet_sizes").rows.values()]


def _is_one_of(sizes: list[tuple[float, float]], short: float, long: float) -> bool:
    return any(
        abs(short / width - 1.0) < _FITS and abs(long / height - 1.0) < _FITS for width, height in sizes
    )


def _is_square(ways: FloatArray, lengths: FloatArray) -> bool:
    """Return whether sides, (4, 2) ways of length one, are a rectangle's: seen from straight above."""
    corners = np.abs(np.sum(ways * np.roll(ways, -1, axis=0), axis=1))
    opposite = np.abs(lengths[:2] / lengths[2:] - 1.0)
    return bool(corners.max() < _SQUARE_ANGLE and opposite.max() < _SQUARE_SIDES)
