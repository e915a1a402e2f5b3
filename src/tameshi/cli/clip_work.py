"""From a film, and the recording of its strike, to figures: the command clip before anything is shown."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tameshi.cli.clip_strike import Struck, joined, lasts, struck_as_dict
from tameshi.cli.measuring import LARGEST_FILE
from tameshi.files import read_bytes
from tameshi.readers.clip import ClipOptions, MeasuredClip, clip_as_dict, measure_film


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clip:
    """A measured film, and the strike of a recording that it shows."""

    measured: MeasuredClip
    struck: Struck | None = None


def measure_clip(
    path: Path, options: ClipOptions, struck: Struck | None = None, rebound: str | None = None
) -> Clip:
    """Return the strike that a film shows, with what its recording adds."""
    data = read_bytes(path, limit=LARGEST_FILE)
    measured = measure_film(data, path.name, options, lasts=lasts(struck))
    if struck is None:
        return Clip(measured=measured)
    return Clip(measured=measured, struck=joined(struck, measured.motion, rebound, measured.sha256))


def as_object(clip: Clip) -> dict[str, Any]:
    """Return a measured film as the object that --json prints."""
    told = clip_as_dict(clip.measured)
    flags = told.pop("flags")
    return {**told, **struck_as_dict(clip.struck), "flags": flags}
