"""Tell the edge of a hard shadow from ink by its colour.

A shadow darkens red, green and blue nearly alike; coloured ink does not. Near the edge of a shadow
paper can look as dark as ink beside lit paper; where the colour is that of bare paper, it is paper.
Black ink has no colour of its own: for that nothing is decided here.
"""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Mask, Picture

_LEAST_COLOUR = 0.25  # of the ink's darkness: less colour tells nothing
_LEAST_DARK = 0.08  # of the logarithm of light
_TOO_LITTLE = 0.35  # of the colour that ink so dark would have
_MOST_COLOURED, _OWN_COLOUR = 0.97, 0.5  # quantile of a piece; of the usual ink's colour
_NARROWEST = 0.0015  # metres: along edges blur and compression mix colours


def ink_colour(steps: Picture) -> Picture | None:
    """Return the direction in which ink colours paper, None where ink is too grey to tell.

    Parameters
    ----------
    steps : (3,) array
        How much the logarithm of light falls from paper to ink in red, green and blue.

    Returns
    -------
    (3,) array or None
        Weights with a sum of nought: the weighted logarithm of light falls by 1 from paper to ink.
    """
    own = steps - steps.mean()
    size = float(np.linalg.norm(own))
    if size <= _LEAST_COLOUR * float(np.linalg.norm(steps)):
        return None
    return np.asarray(own / size**2, np.float32)


def without_colourless(pieces: Mask, coloured: Picture, dark: Picture, scale: float) -> Mask:
    """Return the pieces without wide parts that are dark but have the colour of bare paper.

    Parameters
    ----------
    pieces : (h, w) array of uint8
    coloured : (h, w) array
        0 for the colour of paper, 1 for that of the usual ink.
    dark : (h, w) array
        By how much the logarithm of light is below the paper's, in the usual ink's own: 1 is as dark.
    scale : float
        Metres a pixel.
    """
    grey = (pieces > 0) & (dark > _LEAST_DARK) & (coloured < _TOO_LITTLE * dark)
    side = max(3, round(_NARROWEST / scale))
    wide = cv2.morphologyEx(grey.astype(np.uint8), cv2.MORPH_OPEN, np.ones((side, side), np.uint8))
    if not wide.any():
        return pieces
    _, found = cv2.connectedComponents(pieces, connectivity=8)
    labels = np.asarray(found, np.int32)
    for n in np.unique(labels[wide > 0]):
        # a piece that has that colour nowhere is ink of another colour
        if float(np.quantile(coloured[labels == n], _MOST_COLOURED)) < _OWN_COLOUR:
            wide[labels == n] = 0
    return np.asarray(pieces * (wide == 0), np.uint8)
