"""What a file is that is no picture read here, told from its first bytes."""

from __future__ import annotations

_CONVERT = "Save or export it as JPEG, PNG or TIFF."
_STARTS = (
    (b"GIF8", "a GIF picture", _CONVERT),
    (b"BM", "a BMP picture", _CONVERT),
    (b"%PDF", "a PDF document", "Save the page as PNG or TIFF at the resolution it was scanned at."),
    (b"\x00\x00\x00\x0cjP  ", "a JPEG 2000 picture", _CONVERT),
    (b"\xff\x4f\xff\x51", "a JPEG 2000 picture", _CONVERT),
    (b"\xff\x0a", "a JPEG XL picture", _CONVERT),
    (b"\x00\x00\x00\x0cJXL ", "a JPEG XL picture", _CONVERT),
    (b"8BPS", "a layered picture of a drawing program", _CONVERT),
    (b"FUJIFILM", "a camera's raw picture", "Develop it to JPEG or TIFF first."),
    (b"PK\x03\x04", "a packed archive", "Unpack it first."),
)
_DNG = 0xC612  # the tag that only raw pictures have


def what_it_is(data: bytes, forms: str) -> tuple[str, str]:
    """Return message and hint for a file that is no picture read here.

    Parameters
    ----------
    data : bytes
    forms : str
        What is read, listed.
    """
    for start, name, hint in _STARTS:
        if data.startswith(start):
            return f"The file is {name}, which is not read here.", hint
    if data[4:8] == b"ftyp":
        if data[8:12] in (b"avif", b"avis"):
            return "The file is an AVIF picture, which is not read here.", _CONVERT
        return "The file is a film.", "Take a single picture of the print."
    return "The file is not a picture that is read here.", f"Give one of: {forms}."


def is_raw(tags: object) -> bool:
    """Return whether a TIFF is a camera's raw picture, whose first page is a small preview."""
    return _DNG in tags  # type: ignore[operator]
