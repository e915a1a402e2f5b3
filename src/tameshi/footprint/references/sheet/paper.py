"""Which paper a quadrilateral is: A4 or Letter, upright or lying.

Their proportions differ by 9 %, which a slanted view can hide: each paper gets the best camera it could
have been seen by, and costs what that camera is unusual.
"""

from dataclasses import dataclass

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, fit_known, pose
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.layout import papers, sheet_layout

# of pose's measure, minus twice the logarithm of a likelihood
_CLEARLY_BETTER = 9.0  # another paper is a ninetieth as likely or less
_CONTRADICTED = 25.0  # what somebody said cannot be so
_NO_PAPER = 80.0  # a sheet of that shape is of neither paper


@dataclass(frozen=True, slots=True)
class Laid:
    """A paper as it lies in the picture.

    Parameters
    ----------
    paper : str
        Key of the reference table ``papers``.
    width, height : float
        Along the first and the second side of the quadrilateral, in metres.
    """

    paper: str
    width: float
    height: float

    @property
    def box(self) -> Box:
        """The sheet, in metres from its first corner."""
        return Box(0.0, 0.0, self.width, self.height)


def which_paper(
    corners: FloatArray,
    covariance: FloatArray,
    declared: str | None,
    size: tuple[int, int],
    focal: float | None = None,
) -> tuple[Laid, Plane]:
    """Return which paper lies there and which way, and its plane.

    Parameters
    ----------
    corners : (4, 2) array
        Clockwise, in pixels.
    covariance : (8, 8) array
    declared : str or None
        What somebody said it is.
    size : (int, int)
        Width and height of the picture.
    focal : float or None
        Focal length as a share of the diagonal.

    Raises
    ------
    UnmeasurableError
        ``reference-ambiguous``, ``wrong-paper``, ``no-reference``.

    Notes
    -----
    A camera with square pixels, its axis through the picture's middle and a common focal length would
    see a rectangle of the right proportions so; see Zhang & He, Whiteboard scanning and image enhancement
    (2003), for the two equations that this rests on (value from memory).
    """
    fits = []
    for paper in papers():
        sheet = sheet_layout(paper)
        for laid in (Laid(paper, sheet.width, sheet.height), Laid(paper, sheet.height, sheet.width)):
            plane = fit_known(laid.box.corners, corners, covariance)
            fits.append((pose(plane, *size, focal)[1], laid, plane))
    fits.sort(key=lambda fit: fit[0])
    best = {paper: next(fit for fit in fits if fit[1].paper == paper) for paper in papers()}
    likeliest = fits[0]
    chosen = likeliest if declared is None else best[declared]
    others = [fit[0] for paper, fit in best.items() if paper != chosen[1].paper]
    # somebody's word is taken against a likelier camera, but not against the sheet's proportions
    least = _CONTRADICTED if declared is not None else 0.0
    if chosen[0] > min((_NO_PAPER, *(other + least for other in others))):
        _refuse_shape(declared, likeliest)
    if declared is None and min(others) - chosen[0] < _CLEARLY_BETTER:
        raise UnmeasurableError(
            "reference-ambiguous",
            "It cannot be told from the sheet's shape in this slanted view whether it is A4 or Letter.",
            hint="Say which with --paper a4 or --paper letter; photos as the camera wrote them tell more.",
        )
    return chosen[1], chosen[2]


def _refuse_shape(declared: str | None, likeliest: tuple[float, Laid, Plane]) -> None:
    cost, laid, _ = likeliest
    if declared is not None and laid.paper != declared and cost < _NO_PAPER:
        raise UnmeasurableError(
            "wrong-paper",
            f"The sheet was said to be {declared}, but it has the proportions of {laid.paper}.",
            hint=f"Leave the paper out, or say {laid.paper}.",
        )
    raise UnmeasurableError(
        "no-reference",
        "What was found has four straight edges, but neither the proportions of A4 nor of Letter.",
        hint="Use a whole sheet of A4 or Letter, and a photo that was not cropped.",
    )
