"""Read WAV: what a sound card or many a converter writes. Samples are shares of full scale."""

from __future__ import annotations

import io
import struct

import numpy as np

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.foreign import require_bounded
from tameshi.readers.recording import Channel, ReadOptions, Recording

NAME = "WAV"

_CHUNK_HEAD = 8
_SHORT = ("PCM_U8", "PCM_S8", "PCM_16", "PCM_24", "FLOAT", "ULAW", "ALAW", "IMA_ADPCM", "MS_ADPCM")
_STREAMED = (0, 0xFFFFFFFF)  # sizes a writer leaves when it never came back to fill them in


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes of a file are those of a WAV file."""
    return head[:4] in (b"RIFF", b"RF64", b"RIFX") and head[8:12] == b"WAVE"


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in a WAV file.

    Parameters
    ----------
    data : bytes
        The whole file.
    filename : str
        For messages.
    options : ReadOptions

    Raises
    ------
    UnreadableError
        ``unreadable-wav``, ``empty-recording``, ``too-large``; ``cut-off`` where the file is shorter than
        its header promises and that was not accepted.
    """
    import soundfile  # noqa: PLC0415  0.1 s that other commands need not pay

    try:
        with soundfile.SoundFile(io.BytesIO(data)) as file:
            kind = "float32" if file.subtype in _SHORT else "float64"  # 24 bits fit into the shorter
            require_bounded(np.dtype(kind).itemsize * file.frames * file.channels, len(data), filename)
            samples, rate = file.read(dtype=kind, always_2d=True), file.samplerate
    except (soundfile.LibsndfileError, RuntimeError, ValueError) as error:
        raise UnreadableError(
            "unreadable-wav",
            f"{filename} is a damaged WAV file: {getattr(error, 'error_string', 'it cannot be decoded')}",
            hint="Copy it again from the recorder.",
        ) from error
    if not len(samples):
        raise UnreadableError(
            "empty-recording", f"{filename} holds no samples.", hint="Copy it again from the recorder."
        )
    count = samples.shape[1]
    channels = tuple(
        Channel("samples" if count == 1 else f"channel {place + 1}", "FS", samples[:, place])
        for place in range(count)
    )
    return Recording(NAME, channels, float(rate), _cut_off(data, filename, options))


def _cut_off(data: bytes, filename: str, options: ReadOptions) -> tuple[Flag, ...]:
    """Refuse or flag a file that is shorter than its header promises."""
    promised, present = _data_size(data)
    if promised <= present:
        return ()
    message = f"{filename} promises {promised} bytes of samples and holds {present}: it is cut off."
    if not options.accept_cut_off:
        raise UnreadableError(
            "cut-off", message, hint="Copy it again, or give --accept-cut-off to measure what there is."
        )
    return (Flag("cut-off", message),)


def _data_size(data: bytes) -> tuple[int, int]:
    """Return how many bytes of samples the header promises and how many there are."""
    place = 12
    order = ">" if data[:4] == b"RIFX" else "<"
    while place + _CHUNK_HEAD <= len(data):
        name = data[place : place + 4]
        (size,) = struct.unpack(f"{order}I", data[place + 4 : place + _CHUNK_HEAD])
        if name == b"data":
            present = len(data) - place - _CHUNK_HEAD
            return (present, present) if size in _STREAMED else (size, present)
        place += _CHUNK_HEAD + size + size % 2
    return 0, 0
