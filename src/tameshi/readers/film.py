"""Turn the bytes of a film into grey frames with their true times, and its sound.

Any container and codec that PyAV (FFmpeg's libraries) decodes. Times are those the file gives to each frame,
however uneven; where the file plays slower than it was taken, ``film_rate`` finds out or asks. What a film is
goes by its content, never by its name. Nothing here opens a path.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, TameshiError, UnreadableError
from tameshi.motion import Film
from tameshi.motion.sound import Sound
from tameshi.readers.film_rate import Stamps, real_times

if TYPE_CHECKING:
    from types import ModuleType

    from av.container import InputContainer
    from av.video.stream import VideoStream

FloatArray = NDArray[np.float64]

MOST_BYTES = 1_500_000_000
"""Of grey frames that are held in memory at a time."""

_LARGEST_SIDE = 8192
_QUARTER = 90
_TURNED = {0: "down", 1: "right", 2: "up", 3: "left"}  # where rows run to, by quarters anticlockwise
_AGAIN = "Copy it again from the camera, unedited."
_LONGEST_REASON = 120
_MOST_SOUND = 60 * 20  # seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmFacts:
    """What a file says of itself.

    Parameters
    ----------
    form, codec : str
    width, height : int
        Upright.
    frames : int
        Of the whole file.
    playback_rate, rate : float
        Frames a second as played and as taken.
    rate_from : str
        What told the latter: ``"stamps"``, ``"tag"``, ``"typed"``.
    turned : int
        Degrees anticlockwise by which it was turned upright.
    sound_rate : int or None
    """

    form: str
    codec: str
    width: int
    height: int
    frames: int
    playback_rate: float
    rate: float
    rate_from: str
    turned: int
    sound_rate: int | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadFilm:
    """A film as read: frames, sound, facts, and what is doubtful about them."""

    film: Film
    sound: Sound | None
    facts: FilmFacts
    flags: tuple[Flag, ...]


def read_film(
    data: bytes,
    filename: str,
    *,
    key: str,
    real_rate: float | None = None,
    frames: tuple[int, int] | None = None,
) -> ReadFilm:
    """Return the film in a file.

    Parameters
    ----------
    data : bytes
        The whole file.
    filename : str
        For messages.
    key : str
        Identity of the file: its hash.
    real_rate : float or None
        Frames a second it was taken with, as typed; None leaves that to the file.
    frames : (int, int) or None
        First and last frame that are wanted, counted from 1; all where None.

    Raises
    ------
    UnreadableError
        ``needs-extra``, ``unreadable-film``, ``no-picture``, ``film-too-long``, ``interlaced``.
    UnmeasurableError
        ``rate-doubtful``, ``too-few-frames``, ``times-not-rising``.
    """
    av = _library(filename)
    with _while_decoding(av, filename), av.open(io.BytesIO(data)) as container:
        if not container.streams.video:
            raise UnreadableError("no-picture", f"{filename} holds no moving picture.", hint=_AGAIN)
        stream = container.streams.video[0]
        stream.thread_type = "AUTO"
        taken = _Taken.of(container.decode(stream), filename, frames)
        facts = _facts(container, stream, taken)
        tags = {**container.metadata, **stream.metadata}
        aspect = float(stream.sample_aspect_ratio or 1.0)
    sound = _sound(av, data, filename, float(taken.times[0]))
    stamps = Stamps(times=taken.times, tick=taken.tick, tags=tags)
    timing = real_times(stamps, filename, real_rate)
    film = Film(
        frames=np.stack(taken.frames),
        times=timing.times[taken.first - 1 : taken.first - 1 + len(taken.frames)],
        first=taken.first,
        key=key,
        pixel_aspect=aspect if taken.quarters % 2 == 0 else 1.0 / aspect,
        rows_run=_TURNED[taken.quarters],
    )
    return ReadFilm(
        film=film,
        sound=sound if timing.rate_from == "stamps" else None,  # slowed down, its sound is another's
        facts=FilmFacts(
            **facts,
            frames=len(taken.times),
            playback_rate=timing.playback_rate,
            rate=timing.rate,
            rate_from=timing.rate_from,
            sound_rate=sound.rate if sound else None,
        ),
        flags=timing.flags,
    )


@dataclass(slots=True)
class _Taken:
    """Frames as they are decoded."""

    frames: list[NDArray[np.uint8]]
    times: FloatArray
    first: int
    quarters: int
    tick: float

    @classmethod
    def of(cls, decoded: Iterator[Any], filename: str, wanted: tuple[int, int] | None) -> _Taken:
        first, last = wanted or (1, 2**31)
        kept: list[NDArray[np.uint8]] = []
        times: list[float] = []
        quarters, tick, used = 0, 0.0, 0
        for number, frame in enumerate(decoded, start=1):
            if frame.time is None:
                raise UnreadableError(
                    "unreadable-film", f"Frame {number} of {filename} has no time.", hint=_AGAIN
                )
            times.append(float(frame.time))
            tick = float(frame.time_base)
            if not first <= number <= last:
                continue
            if frame.interlaced_frame:
                raise UnreadableError(
                    "interlaced",
                    f"{filename} is interlaced: each of its frames shows two instants.",
                    hint="Film progressively, or split the frames into fields first.",
                )
            quarters = round(frame.rotation / _QUARTER) % 4
            grey = np.rot90(frame.to_ndarray(format="gray"), quarters)
            used += grey.nbytes
            if used > MOST_BYTES or max(grey.shape) > _LARGEST_SIDE:
                raise _too_long(filename, number - first + 1, grey.shape)
            kept.append(np.ascontiguousarray(grey))
        if not kept:
            raise UnreadableError(
                "no-picture",
                f"{filename} has {len(times)} frames, and none of those asked for.",
                hint="Frames are counted from 1.",
            )
        return cls(kept, np.array(times), first, quarters, tick)


def _too_long(filename: str, frames: int, shape: tuple[int, ...]) -> UnreadableError:
    return UnreadableError(
        "film-too-long",
        f"{filename} has more frames of {shape[1]} x {shape[0]} than fit into memory: {frames} were read.",
        hint='Say which frames show the strike: --frames "120 to 400".',
    )


def _facts(container: InputContainer, stream: VideoStream, taken: _Taken) -> dict[str, Any]:
    height, width = taken.frames[0].shape
    return {
        "form": str(container.format.name).split(",", maxsplit=1)[0],
        "codec": str(stream.codec_context.name),
        "width": width,
        "height": height,
        "turned": taken.quarters * _QUARTER,
    }


def _sound(av: ModuleType, data: bytes, filename: str, begins: float) -> Sound | None:
    """Return the first sound track, of one channel, timed from the first frame; None where there is none."""
    with _while_decoding(av, filename), av.open(io.BytesIO(data)) as container:
        if not container.streams.audio:
            return None
        stream = container.streams.audio[0]
        parts: list[NDArray[np.float64]] = []
        start: float | None = None
        length = 0
        for frame in container.decode(stream):
            values = frame.to_ndarray()
            if not frame.format.is_planar:
                values = values.reshape(-1, frame.layout.nb_channels).T
            start = float(frame.time) if start is None else start
            parts.append(values.mean(axis=0))
            length += values.shape[1]
            if length > _MOST_SOUND * frame.sample_rate:
                break
        if not parts:
            return None
        return Sound(samples=np.concatenate(parts), rate=int(stream.rate), start=(start or 0.0) - begins)


def _library(filename: str) -> ModuleType:
    try:
        import av  # noqa: PLC0415  an extra, and 0.1 s
    except ImportError as error:
        raise UnreadableError(
            "needs-extra",
            f"{filename} is a film, and the package av that reads films is not installed.",
            hint='Install it: pip install "tameshi[video]"',
        ) from error
    return av


@contextmanager
def _while_decoding(av: ModuleType, filename: str) -> Iterator[None]:
    """Turn what the library raises over a damaged file into a refusal of ours."""
    try:
        yield
    except TameshiError:
        raise
    except (av.FFmpegError, ValueError, RuntimeError, OSError, LookupError, MemoryError) as error:
        reason = " ".join(str(error).split())[:_LONGEST_REASON].rstrip(".") or type(error).__name__
        raise UnreadableError(
            "unreadable-film",
            f"{filename} is damaged or no film that is read here: {reason}.",
            hint=_AGAIN,
        ) from error
