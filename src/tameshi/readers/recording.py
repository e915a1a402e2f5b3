"""A recording as a file holds it: named channels with units, sampled together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, WrongUseError

FloatArray = NDArray[np.float64]
Samples = NDArray[np.floating[Any]]
"""Readings as they are kept: in four bytes where the file holds no more, perhaps as a view of its bytes."""
_ASKED_FOR = ("force", "load", "kraft", "volt")


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """What the person says about how to read a file.

    Parameters
    ----------
    count_samples : bool
        Leave time stamps alone: the rate is given, samples are counted.
    accept_cut_off : bool
        Read a file that is shorter than it promises as far as it goes.
    """

    count_samples: bool = False
    accept_cut_off: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Channel:
    """One channel of a recording.

    Parameters
    ----------
    name : str
        As the file gives it, without its unit.
    unit : str
        Unit expression as the file gives it; empty where it gives none. ``"FS"`` is a share of full
        scale.
    samples : (n,) array
        In that unit; NaN where there is no reading. Of float64, or float32 where the file holds no more
        digits than that.
    rate : float or None
        Samples a second, where the channels of a file have rates of their own. [Hz]
    flags : tuple of Flag
        What was noticed about the clock of this channel alone.
    spacing : float or None
        Widest step between readings that was interpolated over, where stamps follow no even clock. [s]
    """

    name: str
    unit: str
    samples: Samples
    rate: float | None = None
    flags: tuple[Flag, ...] = ()
    spacing: float | None = None

    @property
    def label(self) -> str:
        """Name and unit as a message shows them."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """What a file holds.

    Parameters
    ----------
    form : str
        Name of the file format.
    channels : tuple of Channel
    rate : float or None
        Samples a second; None where the file does not say. [Hz]
    flags : tuple of Flag
        What the reader noticed.
    """

    form: str
    channels: tuple[Channel, ...]
    rate: float | None
    flags: tuple[Flag, ...] = ()


def is_complete(samples: Samples) -> bool:
    """Return whether every sample is a finite number: by their sum, where that is one, in a single pass.

    Parameters
    ----------
    samples : (n,) array
    """
    with np.errstate(invalid="ignore", over="ignore"):  # infinite both ways, or too large to be added
        total = samples.sum(dtype=np.float64)
    return bool(np.isfinite(total) or np.isfinite(samples).all())


def pick_channel(recording: Recording, name: str | None) -> Channel:
    """Return the channel to measure.

    Parameters
    ----------
    recording : Recording
    name : str or None
        As the user gave it, or None to take the only one that can be meant.

    Raises
    ------
    WrongUseError
        ``unknown-channel`` or ``channel-unclear``; the hint lists the channels there are.
    """
    listed = f"Channels: {', '.join(channel.label for channel in recording.channels)}."
    if name is not None:
        return _named(recording, name, listed)
    if len(recording.channels) == 1:
        return recording.channels[0]
    asked_for = [
        channel for channel in recording.channels if any(word in channel.name.lower() for word in _ASKED_FOR)
    ]
    if len(asked_for) == 1:
        return asked_for[0]
    raise WrongUseError(
        "channel-unclear",
        f"The recording has {len(recording.channels)} channels, and nothing says which is the force.",
        hint=f"Give one with --channel. {listed}",
    )


def _named(recording: Recording, name: str, listed: str) -> Channel:
    wanted = name.strip().lower()
    for matches in (
        [channel for channel in recording.channels if channel.name == name],
        [channel for channel in recording.channels if channel.name.lower() == wanted],
        [channel for channel in recording.channels if wanted and wanted in channel.name.lower()],
    ):
        if len(matches) == 1:
            return matches[0]
        if matches:
            raise WrongUseError("channel-unclear", f"{name!r} fits several channels.", hint=listed)
    raise WrongUseError("unknown-channel", f"The recording has no channel {name!r}.", hint=listed)
