"""What encoding a text file is in, and its bytes as lines a parser of columns takes.

Nearly every file is ASCII or UTF-8 already: then the bytes are handed on as they are, not decoded and
encoded again. Only UTF-16, odd line ends, odd minus signs and zeros at the end cost a copy.
"""

from __future__ import annotations

_MARK = b"\xef\xbb\xbf"
_SIXTEEN_BIT_MARKS = (b"\xff\xfe", b"\xfe\xff")
_LOOKED_AT = 200
_LONGEST_CHARACTER = 4


def encoding_of(data: bytes) -> str:
    """Return the encoding of a text: by its mark, by every second byte being zero, else UTF-8 or Latin-1.

    Parameters
    ----------
    data : bytes
        The first bytes; a character cut at their end does no harm.
    """
    if data.startswith(_SIXTEEN_BIT_MARKS):
        return "utf-16"
    if data.startswith(_MARK):
        return "utf-8-sig"
    even, odd = data[0:_LOOKED_AT:2], data[1:_LOOKED_AT:2]
    if odd and odd.count(0) > len(odd) // 2 and even.count(0) == 0:
        return "utf-16-le"
    if even and even.count(0) > len(even) // 2 and odd.count(0) == 0:
        return "utf-16-be"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return "utf-8" if error.start > len(data) - _LONGEST_CHARACTER else "latin-1"
    return "utf-8"


def head_of(data: bytes, size: int) -> str:
    """Return the first bytes of a file as text.

    Parameters
    ----------
    data : bytes
    size : int
        Bytes to look at.
    """
    head = data[:size]
    return head.decode(encoding_of(head), errors="replace")


def plain_lines(data: bytes, size: int) -> bytes:
    r"""Return a text file's bytes as ASCII, UTF-8 or Latin-1 with ``\n`` or ``\r\n`` between the lines.

    Parameters
    ----------
    data : bytes
        The whole file.
    size : int
        Bytes by which the encoding is judged.
    """
    encoding = encoding_of(data[:size])
    if encoding.startswith("utf-16"):
        data = data.decode(encoding, errors="replace").encode("utf-8", errors="replace").removeprefix(_MARK)
    elif encoding == "utf-8-sig":
        data = data[len(_MARK) :]
    data = data.rstrip(b"\0")
    if data.find(b"\r\r\n", 0, size) >= 0:  # line ends that were translated twice
        data = data.replace(b"\r\r\n", b"\n")
    if data.find(b"\r", 0, size) >= 0 and data.find(b"\n", 0, size) < 0:
        data = data.replace(b"\r", b"\n")
    return data


def with_plain_minus(data: bytes) -> bytes:
    """Return the text with typographic minus signs made plain; the same bytes where there are none."""
    minus = "−".encode()
    return data.replace(minus, b"-") if data.find(minus) >= 0 else data
