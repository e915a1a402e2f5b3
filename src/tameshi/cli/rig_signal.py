"""Read one channel of a recording as it stands, in any unit: what `rig tap` needs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, WrongUseError
from tameshi.files import read_bytes, sha256_of
from tameshi.quantity import parse_quantity


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Signal:
    """One channel in whatever unit the file gives it.

    Parameters
    ----------
    file, sha256, channel : str
    samples : (n,) array
    rate : float
        [Hz]
    flags : tuple of Flag
        What the reader noticed.
    """

    file: str
    sha256: str
    channel: str
    samples: NDArray[np.float64]
    rate: float
    flags: tuple[Flag, ...]


def read_signal(path: Path, *, channel: str | None, rate: str | None) -> Signal:
    """Return a channel of a recording, its unit left alone.

    Raises
    ------
    WrongUseError
        Where the channel or the rate is not clear.
    """
    from tameshi.cli.measuring import LARGEST_FILE
    from tameshi.readers import ReadOptions, pick_channel, read_recording

    asked = parse_quantity(rate, "frequency") if rate is not None else None
    data = read_bytes(path, limit=LARGEST_FILE)
    recording = read_recording(data, path.name, ReadOptions(count_samples=asked is not None))
    found = pick_channel(recording, channel)
    used = asked or found.rate or recording.rate
    if used is None:
        raise WrongUseError(
            "rate-unknown",
            f"{path.name} has no time column and states no sampling rate.",
            hint='Give it, for example --rate "20 kHz".',
        )
    return Signal(
        file=path.name,
        sha256=sha256_of(data),
        channel=found.name,
        samples=found.samples.astype(np.float64, copy=False),
        rate=used,
        flags=(*recording.flags, *found.flags),
    )
