"""HEIC, as phones write it: the main picture of the file, turned upright by its decoder."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.readers.picture.opacity import on_white

_BRANDS = (b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1")
_START = 32  # bytes in which a file names what it is


def is_heic(data: bytes) -> bool:
    """Return whether bytes begin as a HEIC picture does."""
    if data[4:8] != b"ftyp":
        return False
    brands = [data[8:12], *(data[place : place + 4] for place in range(16, _START, 4))]
    return any(brand in _BRANDS for brand in brands) and data[8:12] not in (b"avif", b"avis")


def open_heic(data: bytes) -> Any:  # noqa: ANN401  the library is not typed
    """Return the header of a HEIC file: its size, mode and facts; nothing is decoded yet.

    Raises
    ------
    ValueError, EOFError, SyntaxError
        Where the file is damaged.
    """
    import pillow_heif  # noqa: PLC0415  heavy, and only these pictures need it

    try:
        return pillow_heif.open_heif(data, convert_hdr_to_8bit=False)
    except RuntimeError as fault:
        raise ValueError(str(fault)) from None


def heic_pixels(header: Any) -> NDArray[np.uint8] | NDArray[np.uint16]:  # noqa: ANN401
    """Decode the main picture to three channels of 8 bits, or of 16 where the file holds more than 8.

    Parameters
    ----------
    header
        From :func:`open_heic`.

    Returns
    -------
    (h, w, 3) array of uint8 or uint16
        Upright. Ten and twelve bits are spread over sixteen; what is transparent becomes white.

    Raises
    ------
    ValueError, EOFError, SyntaxError
        Where the file is damaged.
    """
    try:
        stored = np.asarray(header)
    except RuntimeError as fault:
        raise ValueError(str(fault)) from None
    if stored.ndim == 2:  # noqa: PLR2004  grey
        return np.repeat(stored[:, :, None], 3, axis=2)
    if stored.shape[2] == 2:  # noqa: PLR2004  grey with opacity
        stored = np.concatenate([np.repeat(stored[:, :, :1], 3, axis=2), stored[:, :, 1:]], axis=2)
    return on_white(stored) if stored.shape[2] == 4 else stored  # noqa: PLR2004  with opacity
