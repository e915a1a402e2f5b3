"""Turn the bytes of a picture file into upright red-green-blue pixels.

JPEG, PNG, TIFF and WebP, in grey, colour, with opacity, CMYK or sixteen bits. The header is read
first, so that a file that would unfold to more than memory should hold is refused before it is
decoded. Damaged and foreign files give one clear refusal. Nothing here opens a path.
"""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, TiffImagePlugin, UnidentifiedImageError

from tameshi.errors import UnreadableError

Pixels = NDArray[np.uint8] | NDArray[np.uint16]

MOST_PIXELS = 120_000_000

_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")
_WIDTH, _HEIGHT = 0x0100, 0x0101
_ORIENTATION, _EXIF = 0x0112, 0x8769
_RESOLUTION, _RESOLUTION_UNIT = (0x011A, 0x011B), 0x0128
_CENTIMETRE, _INCHES = 3, 2.54
_TAKEN_BY_A_CAMERA = (0x829A, 0x829D, 0x8827, 0x920A)  # exposure time, aperture, sensitivity, focal length
_FOCAL_35MM = 0xA405  # focal length of a lens that sees as much on 35 mm film, in millimetres
_FILM_DIAGONAL = 43.27  # millimetres, of a frame of 36 mm x 24 mm
_FOCALS = (5.0, 2000.0)  # millimetres: other entries are none
_END_OF_JPEG = b"\xff\xd9"
_START_OF_SCAN = 0xDA
_WITHOUT_LENGTH = (0x01, *range(0xD0, 0xD9))
_SIXTEEN_BITS = ("I;16", "I;16B", "I;16L", "I")
_DECODING_FAULTS = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    TypeError,
    IndexError,
    KeyError,
    struct.error,
    zlib.error,
)


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """A decoded picture.

    Parameters
    ----------
    pixels : (h, w, 3) array of uint8 or uint16
        Red, green and blue, upright, read-only.
    width, height : int
        As stored in the file, before it was turned upright.
    dpi : (float, float) or None
        Pixels an inch across and down, as a scanner wrote them; None where the file says nothing,
        or where a camera took it, whose entry says nothing about the paper.
    is_camera : bool
        Whether the file says that a camera took it.
    focal : float or None
        Focal length as a share of the picture's diagonal, as a camera wrote it.
    form : str
        ``"JPEG"``, ``"PNG"``, ``"TIFF"`` or ``"WEBP"``.
    """

    pixels: Pixels
    width: int
    height: int
    dpi: tuple[float, float] | None
    is_camera: bool
    focal: float | None
    form: str


def read_image(data: bytes, *, most_pixels: int = MOST_PIXELS) -> Photo:
    """Decode a picture file.

    Parameters
    ----------
    data : bytes
        The whole file.
    most_pixels : int
        Larger pictures are refused.

    Returns
    -------
    Photo

    Raises
    ------
    UnreadableError
        ``unreadable-image``, with the reason.
    """
    if not data:
        raise _unreadable("The file is empty.", "Copy it again from the camera or scanner.")
    try:
        with _opened(data) as header:
            _require_bounded(header.size, most_pixels)
            return _decoded(header, data)
    except UnidentifiedImageError:
        raise _unreadable(*_foreign(data)) from None
    except Image.DecompressionBombError:
        raise _too_large("far more", most_pixels) from None
    except (*_DECODING_FAULTS, cv2.error, MemoryError) as fault:
        raise _unreadable(
            f"The picture is damaged or cut off: {_first_words(fault)}.",
            "Copy it again from the camera or scanner.",
        ) from None


def _opened(data: bytes) -> Image.Image:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a warning about size: the bound is ours, just below
        return Image.open(io.BytesIO(data), formats=_FORMATS)


def _require_bounded(size: tuple[int, int], most_pixels: int) -> None:
    width, height = size
    if width * height > most_pixels:
        raise _too_large(f"{width} x {height}", most_pixels)


def _decoded(header: Image.Image, data: bytes) -> Photo:
    width, height = _stored_size(header)
    pixels: Pixels
    if header.format == "JPEG" and header.mode in ("RGB", "L"):
        pixels = _jpeg(data)
    else:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # remarks about odd metadata are no news to a person
            header.load()
        pixels = _pixels(header)
    tags = header.getexif()
    orientation = tags.get(_ORIENTATION, 1)
    upright = _upright(pixels, orientation)
    upright.setflags(write=False)
    taken = tags.get_ifd(_EXIF)
    is_camera = any(tag in taken for tag in _TAKEN_BY_A_CAMERA)
    return Photo(
        pixels=upright,
        width=width,
        height=height,
        dpi=None if is_camera else _dpi(header, tags, turned=orientation in (5, 6, 7, 8)),
        is_camera=is_camera,
        focal=_focal(taken.get(_FOCAL_35MM)),
        form=str(header.format),
    )


def _focal(entry: object) -> float | None:
    """Return a focal length on 35 mm film as a share of the diagonal, None where the entry is none."""
    try:
        focal = float(entry)  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    low, high = _FOCALS
    return focal / _FILM_DIAGONAL if low <= focal <= high else None


def _stored_size(header: Image.Image) -> tuple[int, int]:
    """Return width and height as stored; the library turns those of a TIFF already."""
    if isinstance(header, TiffImagePlugin.TiffImageFile):
        return int(header.tag_v2[_WIDTH]), int(header.tag_v2[_HEIGHT])
    return header.size


def _jpeg(data: bytes) -> NDArray[np.uint8]:
    """Decode a JPEG the quick way; a file without its end would otherwise come out half grey, unsaid."""
    if data.find(_END_OF_JPEG, _start_of_scan(data)) < 0:
        raise OSError("its end is missing")
    flags = cv2.IMREAD_COLOR_RGB | cv2.IMREAD_IGNORE_ORIENTATION
    pixels = cv2.imdecode(np.frombuffer(data, np.uint8), flags)
    if pixels is None:
        raise OSError("it could not be decoded")
    return np.asarray(pixels, np.uint8)


def _start_of_scan(data: bytes) -> int:
    """Return where a JPEG's picture begins: a preview in front of it has an end of its own."""
    place = 2
    while place + 4 <= len(data):
        if data[place] != 0xFF:  # noqa: PLR2004  every segment starts so
            break
        marker = data[place + 1]
        if marker == _START_OF_SCAN:
            return place
        if marker == 0xFF or marker in _WITHOUT_LENGTH:  # noqa: PLR2004  filling
            place += 1 if marker == 0xFF else 2  # noqa: PLR2004
            continue
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    raise OSError("its picture data are missing")


def _pixels(picture: Image.Image) -> Pixels:
    """Return the values of any mode as three channels."""
    if picture.mode in _SIXTEEN_BITS:
        grey = np.clip(np.asarray(picture, np.int64), 0, 65535).astype(np.uint16)
        return np.repeat(grey[:, :, None], 3, axis=2)
    if picture.mode == "F":
        raise _unreadable("The picture's values are fractions.", "Save it with 8 or 16 bits a channel.")
    if "A" in picture.getbands() or "transparency" in picture.info:
        opaque = picture.convert("RGBA")
        white = Image.new("RGBA", opaque.size, (255, 255, 255, 255))
        picture = Image.alpha_composite(white, opaque)
    return np.array(picture.convert("RGB"), dtype=np.uint8)


def _upright(pixels: Pixels, orientation: int) -> Pixels:
    """Return pixels turned as EXIF says (values 1 to 8)."""
    if orientation in (5, 6, 7, 8):
        pixels = pixels.transpose(1, 0, 2)
    if orientation in (2, 3, 6, 7):
        pixels = pixels[:, ::-1]
    if orientation in (3, 4, 7, 8):
        pixels = pixels[::-1]
    return pixels.copy()


def _dpi(header: Image.Image, tags: Image.Exif, *, turned: bool) -> tuple[float, float] | None:
    """Return the resolution the file states, in pixels an inch, as the upright picture has it."""
    stated = header.info.get("dpi")
    if stated is None and all(tag in tags for tag in _RESOLUTION):
        factor = _INCHES if tags.get(_RESOLUTION_UNIT) == _CENTIMETRE else 1.0
        stated = tuple(float(tags[tag]) * factor for tag in _RESOLUTION)
    if stated is None:
        return None
    across, down = (float(value) for value in stated)
    if not (across > 1.0 and down > 1.0):
        return None
    return (down, across) if turned else (across, down)


def _foreign(data: bytes) -> tuple[str, str]:
    """Say what a file is that is no picture we read."""
    if data[4:8] == b"ftyp":
        return (
            "The file is a HEIC picture or a film, which is not read yet.",
            "Export the photo as JPEG, or set the camera to 'most compatible'.",
        )
    return "The file is not a picture that is read here.", f"Give one of: {', '.join(_FORMATS)}."


def _too_large(size: str, most_pixels: int) -> UnreadableError:
    return _unreadable(
        f"The picture unfolds to {size} pixels; at most {most_pixels / 1e6:.0f} million are read.",
        "Scan at a lower resolution, or crop it to the print.",
    )


def _unreadable(message: str, hint: str) -> UnreadableError:
    return UnreadableError("unreadable-image", message, hint=hint)


def _first_words(fault: BaseException) -> str:
    words = str(fault).split("\n")[0].strip().rstrip(".")
    return words[:120] or type(fault).__name__
