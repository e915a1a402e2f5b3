"""The colour profile of a picture: its name, and whether its tone curve is the usual one.

Ink is compared with the paper beside it, so that how wide the colours reach changes no area. What counts is
how stored values follow the light: nearly all files follow the sRGB curve, as the phones' wide one does too.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

_HEADER = 128
_SIGNATURE = slice(36, 40)
_MOST_TAGS = 200
_USUAL, _OFF = 0.2140, 0.02  # light at half of full scale on the sRGB curve, and what is no other curve
_FIXED = 65536.0
_LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class Profile:
    """A colour profile.

    Parameters
    ----------
    name : str
        As the file gives it; empty where it gives none.
    middle : float or None
        Light at half of full scale, as a share; None where the profile does not say it simply.
    """

    name: str
    middle: float | None

    @property
    def is_usual(self) -> bool:
        """Whether values follow the light as on the sRGB curve, as far as the profile tells."""
        return self.middle is None or abs(self.middle - _USUAL) <= _OFF


def read_profile(data: bytes | None) -> Profile | None:
    """Return what an ICC profile says, None where there is none or it is damaged.

    Notes
    -----
    Source: ICC.1:2022 (value from memory): tag table after a header of 128 bytes; ``curv``, ``para``,
    ``desc`` and ``mluc`` types.
    """
    if not data or len(data) < _HEADER + 4 or data[_SIGNATURE] != b"acsp":
        return None
    try:
        tags = _tags(data)
        curve = tags.get(b"gTRC") or tags.get(b"kTRC")
        return Profile(_name(tags.get(b"desc", b"")), None if curve is None else _middle(curve))
    except (struct.error, IndexError, ValueError, OverflowError, ZeroDivisionError):
        return None


def _tags(data: bytes) -> dict[bytes, bytes]:
    (count,) = struct.unpack_from(">I", data, _HEADER)
    tags = {}
    for place in range(min(count, _MOST_TAGS)):
        key, start, length = struct.unpack_from(">4sII", data, _HEADER + 4 + 12 * place)
        tags[key] = data[start : start + length]
    return tags


def _name(tag: bytes) -> str:
    if tag[:4] == b"desc":
        (length,) = struct.unpack_from(">I", tag, 8)
        name = tag[12 : 12 + length].split(b"\0")[0].decode("latin-1")
    elif tag[:4] == b"mluc":
        length, start = struct.unpack_from(">II", tag, 20)
        name = tag[start : start + length].decode("utf-16-be", "replace")
    else:
        return ""
    return "".join(letter for letter in name if letter.isprintable())[:_LONGEST_NAME].strip()


def _middle(tag: bytes) -> float | None:
    """Return the curve's light at half of full scale."""
    if tag[:4] == b"curv":
        (count,) = struct.unpack_from(">I", tag, 8)
        if count == 0:
            return 0.5
        values = struct.unpack_from(f">{min(count, 65536)}H", tag, 12)
        if count == 1:
            return float(0.5 ** (values[0] / 256.0))
        place = 0.5 * (len(values) - 1)
        low = int(place)
        share = place - low
        above = values[min(low + 1, len(values) - 1)]
        return float(values[low] * (1.0 - share) + above * share) / 65535.0
    if tag[:4] == b"para":
        kind, _, *rest = struct.unpack_from(">HHi", tag, 8)
        gamma = rest[0] / _FIXED
        if kind == 0:
            return float(0.5**gamma)
        a, b = (value / _FIXED for value in struct.unpack_from(">2i", tag, 16))
        offset = struct.unpack_from(">i", tag, 24)[0] / _FIXED if kind == 2 else 0.0  # noqa: PLR2004
        if kind == 4:  # noqa: PLR2004  a seventh value is added to the power
            offset = struct.unpack_from(">i", tag, 32)[0] / _FIXED
        return float((0.5 * a + b) ** gamma + offset)
    return None
