"""The name a content gives itself: its SHA-256 in hexadecimal."""

import hashlib
from pathlib import Path

from tameshi.files.refusal import while_reading


def sha256_of(data: bytes) -> str:
    """Return the SHA-256 of bytes, 64 lower-case hexadecimal digits.

    Notes
    -----
    Source: NIST, 2015, FIPS 180-4.
    """
    return hashlib.sha256(data).hexdigest()


def sha256_of_file(path: Path) -> str:
    """Return the SHA-256 of a file's content without holding all of it.

    Raises
    ------
    WrongUseError, UnreadableError
        As :func:`tameshi.files.read_bytes` does.
    """
    with while_reading(path), path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
