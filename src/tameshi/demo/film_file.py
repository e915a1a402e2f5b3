"""Store the frames of an invented film in a container, as cameras and phones do."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.film import Filmed

if TYPE_CHECKING:
    from av import AudioFrame

_TICKS = 90_000  # a second, of the time stamps
_SOUND_RATE = 48_000
_SOUND_BLOCK = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmFile:
    """How a film is stored.

    Parameters
    ----------
    form : str
        Container, as the coding library names it: ``"mp4"``, ``"matroska"``, ``"avi"``.
    codec : str
    quality : int
        Constant rate factor: 18 is fine, 28 coarse.
    slowed : float
        By how much playback is slowed down: time stamps are this many times too far apart.
    tags : mapping
        Written into the container.
    turned : int
        Degrees by which a player has to turn the picture.
    sound : (n,) array or None
        Sound at 48 kHz, -1 to 1.
    """

    form: str = "mp4"
    codec: str = "libx264"
    quality: int = 20
    slowed: float = 1.0
    tags: dict[str, str] = field(default_factory=dict)
    turned: int = 0
    sound: NDArray[np.float32] | None = None


def store_film(filmed: Filmed, how: FilmFile | None = None) -> bytes:
    """Return the film as the bytes of a file."""
    import av  # noqa: PLC0415  an extra: the demo runs without films where it is not installed

    how = how or FilmFile()
    written = io.BytesIO()
    options = {"movflags": "use_metadata_tags"} if how.form in ("mp4", "mov") else {}
    height, width = filmed.frames[0].shape
    with av.open(written, "w", format=how.form, options=options) as container:
        container.metadata.update(how.tags)
        rate = max(1, round(1.0 / float(np.median(np.diff(filmed.times))) / how.slowed))
        stream: Any = container.add_stream(how.codec, rate=rate)
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        if how.codec == "libx264":
            stream.options = {"crf": str(how.quality), "preset": "veryfast"}
        else:
            stream.options = {"qscale": str(how.quality // 5)}
            stream.codec_context.qmin = stream.codec_context.qmax = max(1, how.quality // 5)
        exact = how.form != "avi"
        if exact:
            stream.time_base = stream.codec_context.time_base = Fraction(1, _TICKS)
        if how.turned:
            stream.set_display_rotation(how.turned)
        sound = (
            container.add_stream("aac", rate=_SOUND_RATE, layout="mono") if how.sound is not None else None
        )
        for number, (values, time) in enumerate(zip(filmed.frames, filmed.times, strict=True)):
            picture = av.VideoFrame.from_ndarray(values, format="gray").reformat(format="yuv420p")
            picture.pts = round(float(time) * how.slowed * _TICKS) if exact else number
            picture.time_base = Fraction(1, _TICKS) if exact else Fraction(1, rate)
            container.mux(stream.encode(picture))
        container.mux(stream.encode(None))
        if sound is not None and how.sound is not None:
            for frame in _sound_frames(how.sound):
                container.mux(sound.encode(frame))
            container.mux(sound.encode(None))
    return written.getvalue()


def _sound_frames(sound: NDArray[np.float32]) -> Iterator[AudioFrame]:
    import av  # noqa: PLC0415

    for start in range(0, len(sound), _SOUND_BLOCK):
        part = np.ascontiguousarray(sound[None, start : start + _SOUND_BLOCK])
        frame = av.AudioFrame.from_ndarray(part, format="fltp", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = _SOUND_RATE, start, Fraction(1, _SOUND_RATE)
        yield frame
