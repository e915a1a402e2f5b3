"""Read TDMS: channels in groups, each with its own step and unit as properties."""

from __future__ import annotations

import io
import logging
import struct
from typing import Any

import numpy as np

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.foreign import library, require_bounded, while_decoding
from tameshi.readers.recording import ReadOptions, Recording
from tameshi.readers.tree import SCALING, Facts, Path, Series, recording_of_series, series_of

NAME = "TDMS"
PACKAGE = "nptdms"

_MARK = b"TDSm"
_LEAD_IN = struct.Struct("<4sIIQQ")
_UNFINISHED = 0xFFFF_FFFF_FFFF_FFFF
_MOST_CHANNELS = 4096


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes are those of a TDMS file."""
    return head.startswith(_MARK)


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in a TDMS file.

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
        ``needs-extra``, ``unreadable-recording``, ``too-large``, ``no-samples``; ``cut-off`` where the
        file is shorter than it promises and that was not accepted; errors of the time stamps.
    """
    nptdms = library(PACKAGE, NAME, filename)
    # what the library remarks on, on standard error, is told here as a flag or a refusal
    library(f"{PACKAGE}.log", NAME, filename).log_manager.set_level(logging.CRITICAL)
    flags = _cut_off(data, filename, options)
    series: list[Series] = []
    with while_decoding(NAME, filename), nptdms.TdmsFile.open(io.BytesIO(data)) as file:
        facts: dict[Path, Facts] = {(): _facts(file.properties)}
        channels = [channel for group in file.groups() for channel in group.channels()][:_MOST_CHANNELS]
        require_bounded(sum(8 * max(0, len(channel)) for channel in channels), len(data), filename)
        if file.file_status.channel_statuses and not flags:
            flags = _refused_or_flagged(f"{filename} holds fewer samples than it promises", options)
        for group in file.groups():
            facts[(group.name,)] = _facts(group.properties)
        for channel in channels:
            where = f"{filename}, {channel.group_name}/{channel.name}"
            with while_decoding(NAME, where):
                series += _series(channel)
    recording = recording_of_series(NAME, series, facts, filename, options)
    return Recording(recording.form, recording.channels, recording.rate, (*flags, *recording.flags))


def _series(channel: Any) -> list[Series]:  # noqa: ANN401  the library is untyped
    if not len(channel):
        return []
    path = (channel.group_name, channel.name)
    facts = {name: value for name, value in _facts(channel.properties).items() if name not in SCALING}
    return series_of(path, np.asarray(channel[:]), facts)  # the library has applied the scales already


def _facts(properties: Any) -> Facts:  # noqa: ANN401
    return {
        str(name): str(value) if isinstance(value, str) else float(value)
        for name, value in properties.items()
        if isinstance(value, str | int | float | np.integer | np.floating)
    }


def _cut_off(data: bytes, filename: str, options: ReadOptions) -> tuple[Flag, ...]:
    """Refuse or flag a file whose last segment is longer than what there is of it."""
    place = 0
    while place + _LEAD_IN.size <= len(data):
        mark, _, _, length, _ = _LEAD_IN.unpack_from(data, place)
        if mark != _MARK:
            break
        end = place + _LEAD_IN.size + length
        if length == _UNFINISHED or end > len(data):
            break
        place = end
    if place == len(data):
        return ()
    return _refused_or_flagged(f"{filename} ends inside its last segment, at byte {len(data)}", options)


def _refused_or_flagged(what: str, options: ReadOptions) -> tuple[Flag, ...]:
    message = f"{what}: it is cut off."
    if not options.accept_cut_off:
        raise UnreadableError(
            "cut-off", message, hint="Copy it again, or give --accept-cut-off to measure what there is."
        )
    return (Flag("cut-off", message),)
