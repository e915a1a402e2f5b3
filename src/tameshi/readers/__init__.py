"""Recordings and images from files: one small module a form, found by a registry. Bytes in, data out."""

from tameshi.readers.prepare import Asked, prepare
from tameshi.readers.recording import Channel, ReadOptions, Recording, pick_channel
from tameshi.readers.registry import RECORDING_READERS, read_recording
from tameshi.readers.text import read_columns

__all__ = [
    "RECORDING_READERS",
    "Asked",
    "Channel",
    "ReadOptions",
    "Recording",
    "pick_channel",
    "prepare",
    "read_columns",
    "read_recording",
]
