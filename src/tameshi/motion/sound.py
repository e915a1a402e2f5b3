"""Contact by ear: the onset of the loudest sound, less the time it took from the target to the microphone."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.motion.arrays import FloatArray
from tameshi.motion.contact import Contact, contact_between
from tameshi.quantity import rectangular_u
from tameshi.reference import row

SPEED_OF_SOUND = 343.0
"""In air of 20 degrees, m/s. Common practice, no source."""

_BLOCK = 0.0005  # seconds
_LOUD = 6.0  # times the quiet: what counts as the beginning of a sound
_CLEAR = 20.0  # times the quiet: the loudest block of a strike, at least
_ATTACK = 0.01  # seconds before the loudest block in which its sound begins


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sound:
    """A sound track.

    Parameters
    ----------
    samples : (n,) array
    rate : int
        Samples a second.
    start : float
        Time of the first, in the film's seconds.
    """

    samples: FloatArray
    rate: int
    start: float


def contact_from_sound(sound: Sound, distance: float) -> Contact:
    """Return contact as the loudest sound tells it.

    Parameters
    ----------
    sound : Sound
    distance : float
        From target to microphone, in metres.

    Raises
    ------
    UnmeasurableError
        ``no-sound-of-contact``.
    """
    block = max(1, round(_BLOCK * sound.rate))
    count = len(sound.samples) // block
    loud = np.abs(np.diff(sound.samples[: count * block], prepend=0.0)).reshape(count, block).max(axis=1)
    quiet = float(np.median(loud)) + 1e-9
    loudest = int(np.argmax(loud))
    if loud[loudest] < _CLEAR * quiet:
        raise UnmeasurableError(
            "no-sound-of-contact",
            "No sound stands out clearly enough to be contact.",
            hint="Let contact be found from the track, or say the frame.",
        )
    first = max(0, loudest - round(_ATTACK / _BLOCK))
    begins = first + int(np.argmax(loud[first : loudest + 1] > _LOUD * quiet))
    heard = sound.start + begins * block / sound.rate
    late = distance / SPEED_OF_SOUND
    limits = {key: float(row("film_limits", key)["half_width"]) for key in _LIMITS}
    half = math.sqrt(3.0) * math.hypot(
        rectangular_u(limits["target-distance"]) / SPEED_OF_SOUND,
        rectangular_u(limits["speed-of-sound"]) * late,
        rectangular_u(limits["sound-and-picture"]),
        rectangular_u(0.5 * _BLOCK),
    )
    return contact_between(heard - late - half, heard - late + half, "sound")


_LIMITS = ("target-distance", "speed-of-sound", "sound-and-picture")
