"""How fast a film was taken: by its time stamps, by what the camera wrote, or by what a person says.

Phones play slow motion at 30 frames a second whatever it was taken with. Some write the real rate into the
file, some leave the stamps true and write only that it is meant to be slow; an edited copy has lost both. A
film that plays at an ordinary rate and says nothing is therefore not believed: the person has to say.

Sources: the tag of capture rate as read by media libraries (MediaInfoLib, pull request 1411, seen); the tag
of playback intent: Apple's documentation of ``quickTimeMetadataKeyFullFrameRatePlaybackIntent`` (seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnmeasurableError

FloatArray = NDArray[np.float64]

_CAPTURE_TAG = "com.android.capture.fps"
_INTENT_TAG = "com.apple.quicktime.full-frame-rate-playback-intent"
_ORDINARY = 50.0  # frames a second: slower films may be slow motion, faster ones are not played so
_SAME = 0.05  # rates that differ by less are the same
_COARSE_TICK = 4e-4  # seconds: stamps rounded to more are evened out where they can be
_ROUNDED = 0.8  # ticks that a stamp may be off an even grid
_USUAL = (60.0, 90.0, 100.0, 120.0, 180.0, 240.0, 480.0, 960.0)  # frames a second
_SAY = 'Say what it was taken with: --real-rate "240 Hz", or "30 Hz" where it plays as it was taken.'


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stamps:
    """Time stamps of all frames, in seconds, their step, and the tags of the file."""

    times: FloatArray
    tick: float
    tags: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Timing:
    """Real times, and what they rest on."""

    times: FloatArray
    playback_rate: float
    rate: float
    rate_from: str
    flags: tuple[Flag, ...]


def real_times(stamps: Stamps, filename: str, typed: float | None) -> Timing:
    """Return when each frame was taken, in seconds of real time.

    Parameters
    ----------
    stamps : Stamps
    filename : str
        For messages.
    typed : float or None
        Real rate as a person says, in hertz.

    Raises
    ------
    UnmeasurableError
        ``rate-doubtful``, ``too-few-frames``.
    """
    if len(stamps.times) < 2:  # noqa: PLR2004  one frame has no rate
        raise UnmeasurableError("too-few-frames", f"{filename} has one frame.", hint="Film the whole strike.")
    times, flags = _evened(stamps)
    played = 1.0 / float(np.median(np.diff(times)))
    written = _written(stamps.tags)
    if typed is not None:
        if written is not None and abs(written / typed - 1.0) > _SAME:
            flags.append(
                Flag(
                    "rate-contradicted",
                    f"The file says it was taken at {written:.4g} frames a second; {typed:.4g} was typed and "
                    "taken.",
                )
            )
        return Timing(
            times=times * (played / typed),
            playback_rate=played,
            rate=typed,
            rate_from="typed",
            flags=tuple(flags),
        )
    if written is not None and abs(written / played - 1.0) > _SAME:
        flags.append(
            Flag(
                "slow-motion",
                f"Plays at {played:.4g} frames a second and was taken at {written:.4g}, as the camera wrote.",
            )
        )
        return Timing(
            times=times * (played / written),
            playback_rate=played,
            rate=written,
            rate_from="tag",
            flags=tuple(flags),
        )
    if played < _ORDINARY and written is None:
        raise _doubtful(filename, played, slow=_meant_slow(stamps.tags))
    return Timing(times=times, playback_rate=played, rate=played, rate_from="stamps", flags=tuple(flags))


def _doubtful(filename: str, played: float, *, slow: bool) -> UnmeasurableError:
    why = (
        "and its tags say that it is slow motion"
        if slow
        else "which is how slow motion is played as well, and it does not say what it was taken with"
    )
    return UnmeasurableError(
        "rate-doubtful", f"{filename} plays at {played:.4g} frames a second, {why}.", hint=_SAY
    )


def _written(tags: Mapping[str, str]) -> float | None:
    """Return the rate that the camera wrote, where it did."""
    try:
        rate = float(tags.get(_CAPTURE_TAG, ""))
    except ValueError:
        return None
    return rate if np.isfinite(rate) and rate > 0.0 else None


def _meant_slow(tags: Mapping[str, str]) -> bool:
    return str(tags.get(_INTENT_TAG, "")).strip() == "0"


def _evened(stamps: Stamps) -> tuple[FloatArray, list[Flag]]:
    """Return stamps freed of coarse rounding, where all lie on one even grid."""
    times = stamps.times - stamps.times[0]
    if stamps.tick < _COARSE_TICK or len(times) < 3:  # noqa: PLR2004  two lie on any grid
        return times, []
    guesses = [float(times[-1]) / (len(times) - 1), *(1.0 / rate for rate in _USUAL)]
    for step in guesses:
        if step < stamps.tick:
            continue
        for _ in range(3):
            count = np.round(times / step)
            step = float(count @ times / (count @ count))  # noqa: PLW2901  refined
        if (np.diff(count) > 0).all() and np.abs(times - step * count).max() <= _ROUNDED * stamps.tick:
            return step * count, []
    flag = Flag(
        "coarse-stamps",
        f"The file rounds times to {1000.0 * stamps.tick:.2g} ms, and its frames are not even.",
    )
    return times, [flag]
