"""Turn the bytes of a picture file into upright red-green-blue pixels.

JPEG, PNG, TIFF, WebP and HEIC, in grey, colour, with opacity, CMYK or sixteen bits. The header is read
first, so that a file that would unfold to more than memory should hold is refused before it is
decoded. Damaged and foreign files give one clear refusal. What a file is goes by its content, never by its
name. Nothing here opens a path.
"""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, TiffImagePlugin, UnidentifiedImageError

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.picture.deep import bits_of, deep_grey, deep_pixels, refuse_odd_forms
from tameshi.readers.picture.foreign import is_raw, what_it_is
from tameshi.readers.picture.heic import heic_pixels, is_heic, open_heic
from tameshi.readers.picture.profile import Profile, read_profile
from tameshi.readers.picture.several import count_pictures, word_for

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
_READ = "JPEG, PNG, TIFF, WebP, HEIC"
_ROWS = 512  # converted at once, so that memory stays bounded
_COPY_AGAIN = "Copy it again from the camera or scanner."
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
        ``"JPEG"``, ``"PNG"``, ``"TIFF"``, ``"WEBP"`` or ``"HEIC"``.
    bits : int
        Of a value in the file: 1 to 16.
    profile : Profile or None
        The colour profile in the file.
    flags : tuple of Flag
        ``one-bit``, ``several-pictures``, ``tone-curve``.
    """

    pixels: Pixels
    width: int
    height: int
    dpi: tuple[float, float] | None
    is_camera: bool
    focal: float | None
    form: str
    bits: int = 8
    profile: Profile | None = None
    flags: tuple[Flag, ...] = ()

    @property
    def facts(self) -> dict[str, str | int | None]:
        """What is kept of the file beside its size: form, bits, name of the colour profile."""
        return {
            "format": self.form,
            "bits": self.bits,
            "profile": self.profile.name if self.profile else None,
        }


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
        raise _unreadable("The file is empty.", _COPY_AGAIN)
    try:
        if is_heic(data):
            return _heic(data, most_pixels)
        with _opened(data) as header:
            _require_bounded(header.size, most_pixels)
            return _decoded(header, data)
    except UnidentifiedImageError:
        raise _unreadable(*what_it_is(data, _READ)) from None
    except Image.DecompressionBombError:
        raise _too_large("far more", most_pixels) from None
    except (*_DECODING_FAULTS, cv2.error, MemoryError) as fault:
        raise _unreadable(
            f"The picture is damaged or cut off: {_first_words(fault)}.",
            _COPY_AGAIN,
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
    refuse_odd_forms(header)
    width, height = _stored_size(header)
    if isinstance(header, TiffImagePlugin.TiffImageFile) and is_raw(header.tag_v2):
        raise _unreadable("The file is a camera's raw picture.", "Develop it to JPEG or TIFF first.")
    bits, pictures = bits_of(header), count_pictures(header)
    pixels: Pixels | None = None
    if header.format in ("JPEG", "MPO") and header.mode in ("RGB", "L"):
        pixels = _jpeg(data)
    else:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # remarks about odd metadata are no news to a person
            header.load()
    tags = header.getexif()
    orientation, taken = tags.get(_ORIENTATION, 1), tags.get_ifd(_EXIF)
    if pixels is None:
        pixels = _pixels(header, data, bits)
    upright = _upright(pixels, orientation)
    upright.setflags(write=False)
    bits = bits if upright.dtype == np.uint16 else min(bits, 8)
    is_camera = any(tag in taken for tag in _TAKEN_BY_A_CAMERA)
    profile = read_profile(header.info.get("icc_profile"))
    return Photo(
        pixels=upright,
        width=width,
        height=height,
        dpi=None if is_camera else _dpi(header, tags, turned=orientation in (5, 6, 7, 8)),
        is_camera=is_camera,
        focal=_focal(taken.get(_FOCAL_35MM)),
        form="JPEG" if header.format == "MPO" else str(header.format),
        bits=bits,
        profile=profile,
        flags=tuple(_flags(pictures, word_for(header), profile, bits)),
    )


def _heic(data: bytes, most_pixels: int) -> Photo:
    """Decode a HEIC file; its decoder turns it upright and marks it so."""
    header = open_heic(data)
    _require_bounded(header.size, most_pixels)
    pixels = heic_pixels(header)
    pixels.setflags(write=False)
    tags = Image.Exif()
    tags.load(header.info.get("exif") or b"")
    taken = tags.get_ifd(_EXIF)
    is_camera = any(tag in taken for tag in _TAKEN_BY_A_CAMERA)
    profile = read_profile(header.info.get("icc_profile"))
    return Photo(
        pixels=pixels,
        width=int(header.size[0]),
        height=int(header.size[1]),
        dpi=None,  # phones alone write it, and theirs says nothing about the paper
        is_camera=is_camera,
        focal=_focal(taken.get(_FOCAL_35MM)),
        form="HEIC",
        bits=int(header.info.get("bit_depth", 8)),
        profile=profile,
        flags=tuple(_flags(len(header), "pictures", profile, 8)),
    )


def _flags(pictures: int, word: str, profile: Profile | None, bits: int) -> Iterator[Flag]:
    if bits == 1:
        yield Flag("one-bit", "The picture knows black and white only; grey edges and faint ink are lost.")
    if pictures > 1:
        yield Flag("several-pictures", f"The file holds {pictures} {word}; only the first was measured.")
    if profile is not None and profile.middle is not None and not profile.is_usual:
        yield Flag(
            "tone-curve",
            f"The colour profile {profile.name or 'of the file'} stores half of full scale for "
            f"{profile.middle:.0%} of the light, where 21% is usual: edges may be off by a part of a pixel.",
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
    if data.rfind(_END_OF_JPEG, _start_of_scan(data)) < 0:  # from the end: there it mostly is
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


def _pixels(picture: Image.Image, data: bytes, bits: int) -> Pixels:
    """Return the values of any mode as three channels."""
    if picture.mode in _SIXTEEN_BITS:
        return deep_grey(picture)
    deep = deep_pixels(picture, data, bits)
    if deep is not None:
        return deep
    pixels = np.empty((picture.height, picture.width, 3), np.uint8)
    for top in range(0, picture.height, _ROWS):
        strip = picture.crop((0, top, picture.width, min(top + _ROWS, picture.height)))
        pixels[top : top + _ROWS] = np.asarray(_on_paper(strip), np.uint8)
    return pixels


def _on_paper(picture: Image.Image) -> Image.Image:
    """Return a picture in red, green and blue, on white where it is transparent."""
    if "A" not in picture.getbands() and "transparency" not in picture.info:
        return picture.convert("RGB")
    opaque = picture.convert("RGBA")
    white = Image.new("RGBA", opaque.size, (255, 255, 255, 255))
    return Image.alpha_composite(white, opaque).convert("RGB")


def _upright(pixels: Pixels, orientation: int) -> Pixels:
    """Return pixels turned as EXIF says (values 1 to 8)."""
    if orientation in (5, 6, 7, 8):
        pixels = pixels.transpose(1, 0, 2)
    if orientation in (2, 3, 6, 7):
        pixels = pixels[:, ::-1]
    if orientation in (3, 4, 7, 8):
        pixels = pixels[::-1]
    return pixels if pixels.flags.c_contiguous else pixels.copy()


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
