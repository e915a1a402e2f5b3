"""From a path and options to a measurement: what the commands strikes, footprint and pressure share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tameshi.cli.by_hand import ByHand, PointsTyped
from tameshi.errors import UnreadableError
from tameshi.files import read_bytes, sha256_of
from tameshi.quantity import parse_quantity

if TYPE_CHECKING:
    from tameshi.footprint import Footprint, KnownLens
    from tameshi.force import Reduction
    from tameshi.rig import Rig
    from tameshi.target.breaking import Target

LARGEST_FILE = 4 * 2**30
LARGEST_RIG_FILE = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordingOptions:
    """What was typed about a recording."""

    rig: Path | None = None
    channel: str | None = None
    force_scale: str | None = None
    rate: str | None = None
    channel_class: int | None = None
    accept_cut_off: bool = False
    check_budgets: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ImageOptions:
    """What was typed about a picture of a print."""

    reference: str = "auto"
    bar: str | None = None
    paper: str | None = None
    points: PointsTyped = field(default_factory=PointsTyped)
    lens: Path | None = None
    by_hand: ByHand = field(default_factory=ByHand)


@dataclass(frozen=True, slots=True)
class MeasuredImage:
    """A measured picture with the facts of its file."""

    footprint: Footprint
    file: str
    sha256: str
    size: tuple[int, int]
    facts: Mapping[str, str | int | None]


def load_rig(path: Path) -> Rig:
    """Return the rig a file describes."""
    from tameshi.rig import parse_rig

    return parse_rig(_toml_text(path, "rig"), where=path.name)


def load_target(path: Path) -> Target:
    """Return the target a file describes."""
    from tameshi.target.breaking import parse_target

    return parse_target(_toml_text(path, "target"), where=path.name)


def load_lens(path: Path) -> KnownLens:
    """Return the lens a file describes."""
    from tameshi.footprint import parse_lens

    return parse_lens(_toml_text(path, "lens"), where=path.name)


def _toml_text(path: Path, kind: str) -> str:
    data = read_bytes(path, limit=LARGEST_RIG_FILE)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableError(
            f"{kind}-file", f"{path.name} is not a text file.", hint=f"A {kind} file is TOML in UTF-8."
        ) from error


def reduce_file(path: Path, options: RecordingOptions, rig: Rig | None = None) -> Reduction:
    """Return the strikes of a recording.

    Parameters
    ----------
    path : Path
    options : RecordingOptions
    rig : Rig or None
        The rig already read, where several recordings share it.
    """
    import numpy as np

    from tameshi.force import Origin, Settings, reduce_trace, rehearse
    from tameshi.readers import Asked, ReadOptions, prepare, read_recording

    rate = parse_quantity(options.rate, "frequency") if options.rate is not None else None
    rig = rig or (load_rig(options.rig) if options.rig is not None else None)
    data = read_bytes(path, limit=LARGEST_FILE)
    reading = ReadOptions(count_samples=rate is not None, accept_cut_off=options.accept_cut_off)
    recording = read_recording(data, path.name, reading)
    asked = Asked(rig=rig, channel=options.channel, force_scale=options.force_scale, rate=rate)
    trace, conversion = prepare(recording, Origin(path.name, sha256_of(data)), asked)
    settings = Settings(channel_class=options.channel_class)
    reduction = reduce_trace(trace, conversion, rig=rig, settings=settings)
    if options.check_budgets is None:
        return reduction
    # the file itself seeds the draws: the same file gives the same check
    generator = np.random.default_rng(int(trace.origin.sha256[:16], 16))
    checked = rehearse(
        trace, conversion, rig=rig, settings=settings, draws=options.check_budgets, generator=generator
    )
    return replace(reduction, rehearsed=checked)


def measure_image(path: Path, options: ImageOptions) -> MeasuredImage:
    """Return the measured print in a picture."""
    from tameshi.footprint import measure_footprint
    from tameshi.readers.image import read_image

    bar = parse_quantity(options.bar, "length") if options.bar is not None else None
    reference = options.points.picked(options.reference) or options.reference
    corrections = options.by_hand.corrections()
    data = read_bytes(path, limit=LARGEST_FILE)
    photo, sha256 = read_image(data), sha256_of(data)
    footprint = measure_footprint(
        photo.pixels,
        reference=reference,
        bar=bar,
        paper=options.paper,
        dpi=photo.dpi,
        focal=photo.focal,
        lens=load_lens(options.lens) if options.lens is not None else None,
        key=sha256,
        corrections=corrections,
    )
    footprint = replace(footprint, flags=(*photo.flags, *footprint.flags))
    return MeasuredImage(footprint, path.name, sha256, (photo.width, photo.height), photo.facts)
