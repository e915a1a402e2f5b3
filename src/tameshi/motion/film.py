"""A film as the measuring core sees it: grey frames, each with its time."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion.arrays import FloatArray, Pixels

_FEWEST_FRAMES = 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Film:
    """Frames with their times.

    Parameters
    ----------
    frames : (n, h, w) array of uint8
        Grey, upright.
    times : (n,) array
        When each was taken, in seconds of real time; rising.
    first : int
        Number of the first of them in the file, counted from 1.
    key : str
        Identity of the file: names the errors that it brings along.
    pixel_aspect : float
        Width of a pixel as a share of its height.
    rows_run : str
        Where the sensor's rows are read to in the upright picture: ``"down"``, ``"up"``, ``"left"``,
        ``"right"``.

    Raises
    ------
    UnmeasurableError
        ``too-few-frames``, ``times-not-rising``.
    """

    frames: Pixels
    times: FloatArray
    first: int = 1
    key: str = "film"
    pixel_aspect: float = 1.0
    rows_run: str = "down"

    def __post_init__(self) -> None:
        """Refuse what is no film."""
        if len(self.frames) < _FEWEST_FRAMES:
            raise UnmeasurableError(
                "too-few-frames",
                f"The film has {len(self.frames)} frames here; {_FEWEST_FRAMES} are needed at least.",
                hint="Take a longer piece of it, or film at a higher rate.",
            )
        steps = self.times[1:] - self.times[:-1]
        if not (steps > 0.0).all():
            place = self.first + int((steps <= 0.0).argmax())
            raise UnmeasurableError(
                "times-not-rising",
                f"Frames {place} and {place + 1} do not follow each other in time.",
                hint="Copy the film again from the camera, unedited.",
            )

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.frames.shape[2], self.frames.shape[1]

    @property
    def interval(self) -> float:
        """Time from frame to frame, in seconds: the median."""
        steps = self.times[1:] - self.times[:-1]
        return float(sorted(steps)[len(steps) // 2])

    def index_of(self, number: int) -> int:
        """Return the place of a frame by its number in the file.

        Raises
        ------
        WrongUseError
            ``no-such-frame``.
        """
        index = number - self.first
        if not 0 <= index < len(self.frames):
            raise WrongUseError(
                "no-such-frame",
                f"There is no frame {number}; {self.first} to {self.first + len(self.frames) - 1} are read.",
                hint="Frames are counted from 1; the overlay shows their numbers.",
            )
        return index
