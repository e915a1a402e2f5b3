"""Find the reader for a recording by its first bytes.

A reader is a module with three names: ``NAME``, ``sniff(head, filename)`` and
``decode(data, filename, options)``. It is given bytes and opens nothing. Other packages may bring more, see
:mod:`tameshi.readers.plugins`; they are asked before text, which takes nearly anything.
"""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType

from tameshi.errors import Flag, UnreadableError
from tameshi.readers import hdf5, matlab, numpy_file, parquet, tdms, text, wav
from tameshi.readers.plugins import asks, brought_readers, decoded
from tameshi.readers.recording import ReadOptions, Recording

RECORDING_READERS: tuple[ModuleType, ...] = (wav, hdf5, tdms, parquet, numpy_file, matlab, text)
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
    head, options = data[:_HEAD], options or ReadOptions()
    for reader in RECORDING_READERS[:-1]:
        if reader.sniff(head, filename):
            recording: Recording = reader.decode(data, filename, options)
            return recording
    return _brought_or_text(data, head, filename, options)


def _brought_or_text(data: bytes, head: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording by a reader another package brings, else as text."""
    brought, flags = brought_readers()
    for one in brought:
        takes = asks(one, head, filename)
        if isinstance(takes, Flag):
            flags.append(takes)
        elif takes:
            return _flagged(decoded(one, data, filename, options), flags)
    seen = next((what for mark, what in _OTHERS.items() if head.startswith(mark)), None)
    if seen is None and text.sniff(head, filename):
        return _flagged(text.decode(data, filename, options), flags)
    forms = ", ".join([*(reader.NAME for reader in RECORDING_READERS), *(one.reader.NAME for one in brought)])
    told = " ".join(flag.message for flag in flags)
    raise UnreadableError(
        "not-a-recording",
        f"{filename} is {seen or 'in no form that is known here'}. {told}".strip(),
        hint=f"Recordings can be read as: {forms}.",
    )


def _flagged(recording: Recording, flags: list[Flag]) -> Recording:
    return replace(recording, flags=(*recording.flags, *flags)) if flags else recording
