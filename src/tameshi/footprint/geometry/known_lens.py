"""What a camera's lens does, learnt from one photo and kept for those that show too little of it."""

import math
import tomllib
from dataclasses import dataclass

from tameshi.errors import UnreadableError, WrongUseError
from tameshi.footprint.geometry.lens import Lens

_MOST = 0.25  # of the corners' distance from the middle: no camera bends more
_OTHER_SHAPE, _OTHER_FOCAL = 0.01, 0.05  # shares: beyond them it is another camera, or a cropped picture


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownLens:
    """A lens, and the pictures that it makes.

    Parameters
    ----------
    k : float
        As in :class:`Lens`: how far the picture's corners move, as a share.
    u : float
        Its standard uncertainty.
    shape : float
        Longer side of its pictures by the shorter one.
    focal : float or None
        Focal length as a share of the diagonal, where the camera wrote it.
    said : str
        From which picture it is.
    """

    k: float
    u: float
    shape: float
    focal: float | None = None
    said: str = ""

    def over(self, width: int, height: int, focal: float | None = None) -> Lens:
        """Return the lens over a picture of so many pixels.

        Raises
        ------
        WrongUseError
            ``other-camera`` where the picture's shape or focal length is not that of this lens's pictures.
        """
        shape = _shape(width, height)
        if not self._has_shape(shape):
            raise _other(
                f"The picture is {shape:.3f} times as long as wide, the lens's {self.shape:.3f} times"
            )
        if not self._has_focal(focal):
            raise _other("The picture was taken at another focal length than the lens is known for")
        return Lens(width, height, self.k)

    def is_of(self, width: int, height: int, focal: float | None = None) -> bool:
        """Return whether a picture of so many pixels and this focal length may be of this lens."""
        return self._has_shape(_shape(width, height)) and self._has_focal(focal)

    def _has_shape(self, shape: float) -> bool:
        return abs(shape / self.shape - 1.0) <= _OTHER_SHAPE

    def _has_focal(self, focal: float | None) -> bool:
        return not (focal and self.focal) or abs(math.log(focal / self.focal)) <= _OTHER_FOCAL


def _shape(width: int, height: int) -> float:
    return max(width, height) / min(width, height)


def lens_text(known: KnownLens) -> str:
    """Return a lens as the text of its file (TOML)."""
    lines = [
        "# What a camera's lens does to straight lines: for its own photos, uncropped, at the same zoom.",
        "[lens]",
        f"k = {known.k:.6f}  # corners move outwards by so much of their distance from the middle",
        f"u = {known.u:.6f}  # its standard uncertainty",
        f"shape = {known.shape:.4f}  # longer side by shorter side of the picture",
    ]
    if known.focal is not None:
        lines.append(f"focal = {known.focal:.4f}   # focal length as a share of the picture's diagonal")
    said = known.said.replace("\\", "/").replace('"', "'")
    return "\n".join([*lines, f'from = "{said}"', ""])


def parse_lens(text: str, where: str = "lens file") -> KnownLens:
    """Return the lens that a file's text describes.

    Raises
    ------
    UnreadableError
        ``lens-file`` where the text is none, with what is wrong.
    """
    try:
        table = tomllib.loads(text).get("lens")
    except tomllib.TOMLDecodeError as error:
        raise _unreadable(where, f"it is no TOML: {error}") from error
    if not isinstance(table, dict):
        raise _unreadable(where, "it holds no table [lens]")
    k, u, shape = (_number(table, name, where) for name in ("k", "u", "shape"))
    focal = _number(table, "focal", where) if "focal" in table else None
    if abs(k) > _MOST or not 0.0 < u < _MOST or not shape >= 1.0 or (focal is not None and focal <= 0.0):
        raise _unreadable(where, "no lens has such figures")
    return KnownLens(k=k, u=u, shape=shape, focal=focal, said=str(table.get("from", "")))


def _number(table: dict[str, object], name: str, where: str) -> float:
    value = table.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise _unreadable(where, f"{name} is missing or no number")
    return float(value)


def _other(what: str) -> WrongUseError:
    return WrongUseError(
        "other-camera",
        f"{what}: it is another camera, another zoom, or a cropped picture.",
        hint="Give photos as the camera wrote them, and a lens file from a photo of that camera.",
    )


def _unreadable(where: str, what: str) -> UnreadableError:
    return UnreadableError(
        "lens-file",
        f"{where} is no lens file: {what}.",
        hint="Make one from a photo of the target sheet: tameshi footprint PHOTO --keep-lens camera.toml.",
    )
