"""Find the reader for a recording by its first bytes.

A reader is a module with three names: ``NAME``, ``sniff(head, filename)`` and
``decode(data, filename, options)``. It is given bytes and opens nothing.
"""

from __future__ import annotations

from types import ModuleType

from tameshi.errors import UnreadableError
from tameshi.readers import text, wav
from tameshi.readers.recording import ReadOptions, Recording

RECORDING_READERS: tuple[ModuleType, ...] = (wav, text)
"""In the order they are asked: the surest mark first."""

_HEAD = 65_536
_BLANK = b"\0 \t\r\n"
_OTHERS = {
    b"\xff\xd8\xff": "a JPEG picture",
    b"\x89PNG": "a PNG picture",
    b"%PDF": "a PDF document",
    b"PK\x03\x04": "a zip archive or an office document",
    b"SQLite": "an SQLite file",
}


def read_recording(data: bytes, filename: str, options: ReadOptions | None = None) -> Recording:
    """Return the recording in a file's bytes.

    Parameters
    ----------
    data : bytes
        The whole file.
    filename : str
        For messages.
    options : ReadOptions or None

    Raises
    ------
    UnreadableError
        ``empty-file`` or ``not-a-recording``, or what the reader found.
    """
    if not data[:_HEAD].strip(_BLANK) and not data.strip(_BLANK):
        raise UnreadableError(
            "empty-file",
            f"{filename} is empty.",
            hint="Copy it again from the logger; was the recording stopped properly?",
        )
    head = data[:_HEAD]
    seen = next((what for mark, what in _OTHERS.items() if head.startswith(mark)), None)
    for reader in RECORDING_READERS if seen is None else ():
        if reader.sniff(head, filename):
            recording: Recording = reader.decode(data, filename, options or ReadOptions())
            return recording
    forms = ", ".join(reader.NAME for reader in RECORDING_READERS)
    raise UnreadableError(
        "not-a-recording",
        f"{filename} is {seen or 'in no form that is known here'}.",
        hint=f"Recordings can be read as: {forms}.",
    )
