"""Follow a row of ticks outwards from its middle, tick by tick."""

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Where
from tameshi.footprint.references.ruler.profile import STEP, centred
from tameshi.footprint.references.ruler.row import RowFit, fit_row

FEWEST = 20  # ticks of a row

_GAP = 4  # ticks: a row ends where so many are missing
_START, _FARTHER = 8, 1.35
_WORST = 0.08  # of the pitch: ticks scatter less
_LEAST_FOUND = 0.6  # of the ticks between its ends


def followed(signal: FloatArray, first: float, pitch: float, half: float) -> tuple[RowFit, FloatArray] | None:
    """Follow the ticks outwards from the middle, number them, and fit where they are.

    Parameters
    ----------
    signal : (n,) array
        Darkness along the row.
    first : float
        Where it begins, in pixels.
    pitch : float
        About, in pixels.
    half : float
        So far to either side the strip reaches, where ticks may be covered; beyond it a row ends at a gap.

    Returns
    -------
    (RowFit, (n,) array) or None
        With the numbers of the ticks that were found.
    """
    window = slice(max(0, len(signal) // 2 - round(pitch / STEP)), len(signal) // 2 + round(pitch / STEP))
    begin = first + (window.start + int(np.argmax(signal[window]))) * STEP
    last = first + (len(signal) - 1) * STEP
    fit = RowFit(begin, pitch, 0.0, np.zeros((3, 3)), 0.0)
    reach, numbers, kept = _START, np.empty(0), np.empty(0, bool)
    while True:
        all_numbers = np.arange(-reach, reach + 1.0)
        inside = all_numbers[
            (fit.place(all_numbers) > first + pitch) & (fit.place(all_numbers) < last - pitch)
        ]
        places, there = centred(signal, first, fit.place(inside), np.abs(fit.pitch(inside)))
        if np.count_nonzero(there) < 8:  # noqa: PLR2004  too few for the fit
            return None
        fit, good = fit_row(inside[there], places[there])
        numbers, kept = inside, there.copy()
        kept[there] = good
        kept &= _unbroken(fit.place(inside), kept, half)
        fit, good = fit_row(inside[kept], places[kept])
        if len(inside) < len(all_numbers) - 1 and reach > len(inside):
            break
        beyond = min(-fit.place(inside[:1])[0], fit.place(inside[-1:])[0]) > half
        if beyond and not (kept[:_GAP].any() or kept[-_GAP:].any()):
            break
        reach = int(np.ceil(_FARTHER * reach))
    found = numbers[kept][good]
    if len(found) < FEWEST or fit.scatter > _WORST * pitch:
        return None
    low, high = np.quantile(found, (0.02, 0.98))
    amid = np.count_nonzero((numbers >= low) & (numbers <= high))
    return (fit, found) if len(found) >= _LEAST_FOUND * amid else None


def _unbroken(places: FloatArray, kept: Where, half: float) -> Where:
    """Return which ticks lie on the strip, or beyond it with no gap between."""
    on_strip = np.abs(places) <= half
    there = np.flatnonzero(kept | on_strip)
    belongs = on_strip.copy()
    middle = int(np.argmin(np.abs(places)))
    for outwards in (there[there >= middle], there[there <= middle][::-1]):
        gaps = np.flatnonzero((np.abs(np.diff(outwards)) > _GAP) & ~on_strip[outwards[1:]])
        belongs[outwards[: gaps[0] + 1] if len(gaps) else outwards] = True
    return np.asarray(belongs)
