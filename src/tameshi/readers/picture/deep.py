"""Colours of sixteen bits, which the usual library would cut to eight, and grey ones in odd forms.

OpenCV reads them whole. It says little of damage, so the file is read the usual way first, and both have to
agree where they can be compared.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, PngImagePlugin, TiffImagePlugin

from tameshi.errors import UnreadableError
from tameshi.readers.picture.opacity import on_white

_BITS, _PHOTOMETRIC, _PLANES, _SAMPLES = 258, 262, 284, 277
_WHITE_IS_ZERO, _RGB, _SEPARATE = 0, 2, 2
_DEEP = 16
_TWELVE = 12
_FULL = 65535
_COMPARED = 61  # every so many pixels each way
_CLOSE = 1  # of 255: one library rounds, the other cuts off


def bits_of(header: Image.Image) -> int:
    """Return how many bits a value has in the file; only before the picture is decoded."""
    if header.mode == "1":
        return 1
    if isinstance(header, TiffImagePlugin.TiffImageFile):
        stated = header.tag_v2.get(_BITS, (8,))
        return int(max(stated)) if isinstance(stated, tuple) else int(stated)
    if isinstance(header, PngImagePlugin.PngImageFile):
        mode: Any = header.tile[0][3] if header.tile else ""
        return _DEEP if "16" in str(mode) else 8
    return 8


def refuse_odd_forms(header: Image.Image) -> None:
    """Refuse forms that would be read wrongly.

    Raises
    ------
    UnreadableError
        ``unreadable-image``.
    """
    hint = "Save it as PNG or TIFF with 8 or 16 bits a channel."
    if header.mode == "F" or bits_of(header) > _DEEP:
        message = f"The picture's values are fractions or have {bits_of(header)} bits; 16 are read at most."
        raise UnreadableError("unreadable-image", message, hint=hint)
    if header.mode == "LAB":
        raise UnreadableError("unreadable-image", "The picture's colours are stored as L*a*b*.", hint=hint)
    if isinstance(header, TiffImagePlugin.TiffImageFile):
        deep = bits_of(header) > 8  # noqa: PLR2004
        if deep and header.tag_v2.get(_PLANES) == _SEPARATE and header.tag_v2.get(_SAMPLES, 1) > 1:
            message = "The picture's colours stand in separate planes of 16 bits."
            raise UnreadableError("unreadable-image", message, hint=hint)


def deep_pixels(header: Image.Image, data: bytes, bits: int) -> NDArray[np.uint16] | None:
    """Return the values of a picture that has more than eight bits in colour, None where it has not.

    Parameters
    ----------
    header : Image
        Decoded already.
    data : bytes
        The whole file.
    bits : int
        Of a value, as :func:`bits_of` tells before the picture is decoded.

    Raises
    ------
    ValueError
        Where the values cannot be had whole; eight of sixteen bits are no answer.
    """
    if header.mode not in ("RGB", "RGBA", "RGBX", "LA") or bits != _DEEP:
        return None
    usual = _some_of(header)
    header.close()  # what it holds is no more needed, and large
    stored = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_UNCHANGED | cv2.IMREAD_IGNORE_ORIENTATION)
    if stored is None or stored.dtype != np.uint16 or stored.ndim != 3:  # noqa: PLR2004
        raise ValueError("its sixteen bits could not be decoded")
    if stored.shape[2] == 4:  # noqa: PLR2004  with opacity
        pixels = np.asarray(on_white(stored[:, :, [2, 1, 0, 3]].astype(np.uint16)), np.uint16)
    else:
        pixels = np.asarray(cv2.cvtColor(stored, cv2.COLOR_BGR2RGB, dst=stored), np.uint16)
    if not _agree(pixels[::_COMPARED, ::_COMPARED], usual):
        raise ValueError("two decoders do not agree on it")
    return pixels


def deep_grey(header: Image.Image) -> NDArray[np.uint16]:
    """Return a grey picture of more than eight bits as the full range of sixteen, dark values low."""
    grey = np.asarray(header)
    grey = np.clip(grey, 0, _FULL).astype(np.uint16)
    if bits_of(header) == _TWELVE:
        grey = (grey.astype(np.uint32) * _FULL // ((1 << _TWELVE) - 1)).astype(np.uint16)
    is_tiff = isinstance(header, TiffImagePlugin.TiffImageFile)
    if is_tiff and header.tag_v2.get(_PHOTOMETRIC) == _WHITE_IS_ZERO:  # type: ignore[attr-defined]
        grey = _FULL - grey
    return np.repeat(grey[:, :, None], 3, axis=2)


def _some_of(header: Image.Image) -> NDArray[np.float32]:
    """Return every so many pixels as the usual library has them, of 255, on white."""
    rows = []
    for top in range(0, header.height, _COMPARED):
        line = header.crop((0, top, header.width, top + 1)).convert("RGBA")
        white = Image.new("RGBA", line.size, "white")
        rows.append(np.asarray(Image.alpha_composite(white, line).convert("RGB"), np.float32)[:, ::_COMPARED])
    return np.concatenate(rows)


def _agree(deep: NDArray[np.uint16], usual: NDArray[np.float32]) -> bool:
    if deep.shape != usual.shape:
        return False
    return bool(np.all(np.abs(deep.astype(np.float32) / 257.0 - usual) <= _CLOSE + 0.5))
