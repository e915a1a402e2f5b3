"""What the drawing of force needed and force brought shows; ``report.figures`` turns it into a picture."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.report.drawing import Axis, FloatArray, Words


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hump:
    """How likely values of a force are: a smooth hump, or a single line where it is taken as known.

    Parameters
    ----------
    label : str
    force : (n,) array
        [N]
    height : (n,) array
        Relative to the hump's top.
    middle : float
        Median. [N]
    """

    label: str
    force: FloatArray
    height: FloatArray
    middle: float

    @property
    def is_line(self) -> bool:
        """Whether all of it is one value."""
        return len(self.force) == 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NeedAndStrike:
    """The peak force that a target needs, and that of the strike, both on a rigid plate.

    Parameters
    ----------
    words : Words
    axes : (Axis, Axis)
        Below and above; the scale is logarithmic.
    ends : (float, float)
        Of the scale. [N]
    humps : tuple of Hump
        The need first.
    """

    words: Words
    axes: tuple[Axis, Axis]
    ends: tuple[float, float]
    humps: tuple[Hump, ...]
