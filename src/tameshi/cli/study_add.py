"""Add files to a study: tell what each is, and put to it what was said."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import cast, get_args

from tameshi.cli.by_hand import ByHand, PointsTyped
from tameshi.cli.measuring import LARGEST_RIG_FILE
from tameshi.errors import TameshiError, WrongUseError
from tameshi.files import read_bytes
from tameshi.quantity import parse_quantity
from tameshi.rig import parse_rig
from tameshi.study import (
    LARGEST,
    Added,
    Description,
    Kind,
    PrintDescription,
    RecordingDescription,
    Side,
    Study,
    add_original,
    find_original,
    lenses,
    open_study,
    read_original,
    rigs,
)
from tameshi.target.breaking import is_target_file, parse_target

_PICTURES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif")
_PICTURE_MARKS = (b"\xff\xd8\xff", b"\x89PNG", b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_HEIC = b"ftyp"  # from its fifth byte on
_LENS = re.compile(rb"^\s*\[lens\]", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What was typed about the files, as it was typed."""

    technique: str | None
    athlete: str | None
    session: str | None
    side: str | None
    note: str | None
    kind: str | None
    rig: Path | None
    channel: str | None
    force_scale: str | None
    rate: str | None
    channel_class: int | None
    speed: str | None
    reference: str | None
    bar: str | None
    paper: str | None
    strike: str | None
    points: PointsTyped
    by_hand: ByHand
    as_found: bool
    which: str | None
    lens: Path | None


def add_files(folder: Path, files: list[Path], said: Said) -> list[Added]:
    """Add files to a study in the order given, rigs first, and return what became of each."""
    if said.as_found and said.by_hand:
        raise WrongUseError(
            "correction-unclear",
            "Corrections were given and taken back at once.",
            hint="Leave out --as-found: new corrections replace the earlier ones.",
        )
    said.by_hand.refuse_several(sum(path.suffix.lower() in _PICTURES for path in files))
    now = datetime.now(UTC)
    with open_study(folder) as study:
        added = []
        if said.rig is not None:
            added.append(_add_rig(study, said.rig, now))
        if said.lens is not None:
            added.append(_add_lens(study, said.lens, now))
        ordered = sorted(files, key=lambda path: path.suffix.lower() != ".toml")
        added += [_add(study, path, said, now) for path in ordered]
        return added


def _add(study: Study, path: Path, said: Said, now: datetime) -> Added:
    data = read_bytes(path, limit=LARGEST)
    kind = _kind(said.kind, path, data)
    if kind == "rig":
        return _add_rig(study, path, now)
    if kind == "lens":
        return _add_lens(study, path, now)
    if kind == "target":
        parse_target(data.decode("utf-8", errors="replace"), where=path.name)  # refused now rather than later
        return add_original(study, data, name=path.name, kind=kind, at=now)
    description: Description | None = None
    if kind == "recording":
        description = _of_recording(study, said)
    elif kind == "print":
        description = _of_print(study, said, data)
    return add_original(study, data, name=path.name, kind=kind, at=now, description=description)


def _add_rig(study: Study, path: Path, now: datetime) -> Added:
    data = read_bytes(path, limit=LARGEST_RIG_FILE)
    parse_rig(data.decode("utf-8", errors="replace"), where=path.name)  # refused now rather than later
    return add_original(study, data, name=path.name, kind="rig", at=now)


def _add_lens(study: Study, path: Path, now: datetime) -> Added:
    from tameshi.footprint import parse_lens

    data = read_bytes(path, limit=LARGEST_RIG_FILE)
    parse_lens(data.decode("utf-8-sig", errors="replace"), where=path.name)  # refused now rather than later
    return add_original(study, data, name=path.name, kind="lens", at=now)


def _kind(told: str | None, path: Path, data: bytes) -> Kind:
    if told is not None:
        if told not in get_args(Kind):
            raise WrongUseError(
                "unknown-kind", f"{told!r} is no kind of file.", hint=f"Kinds: {', '.join(get_args(Kind))}."
            )
        return cast("Kind", told)
    if path.suffix.lower() == ".toml":
        text = data.decode("utf-8", errors="replace")
        return "lens" if _LENS.search(data) else "target" if is_target_file(text) else "rig"
    is_picture = path.suffix.lower() in _PICTURES or data.startswith(_PICTURE_MARKS) or data[4:8] == _HEIC
    return "print" if is_picture else "recording"


def _of_recording(study: Study, said: Said) -> RecordingDescription:
    known = rigs(study)
    rig = None
    if said.rig is not None:
        rig = find_original(study, said.rig.name).sha256
    elif len(known) == 1:  # the study's only rig is the one that was used
        rig = known[0].sha256
    return RecordingDescription(
        technique=said.technique,
        athlete=said.athlete,
        session=said.session,
        side=cast("Side | None", said.side),
        note=said.note,
        rig=rig,
        channel=said.channel,
        force_scale=said.force_scale,
        rate=parse_quantity(said.rate, "frequency") if said.rate is not None else None,
        channel_class=str(said.channel_class) if said.channel_class is not None else None,
        speed=parse_quantity(said.speed, "speed") if said.speed is not None else None,
    )


def _of_print(study: Study, said: Said, data: bytes) -> PrintDescription:
    picked = said.points.picked(said.reference)
    recording, index = _strike(study, said.strike) if said.strike is not None else (None, None)
    return PrintDescription(
        technique=said.technique,
        athlete=said.athlete,
        session=said.session,
        reference="points" if picked else said.reference,
        points=picked.as_dict() if picked else {} if said.reference else None,
        corrections=said.by_hand.corrections().as_dict() if said.by_hand else {} if said.as_found else None,
        bar_length=parse_quantity(said.bar, "length") if said.bar is not None else None,
        paper=said.paper,
        recording=recording,
        strike=index,
        note=said.note,
        which=said.which,
        lens=find_original(study, said.lens.name).sha256 if said.lens else _lens_of(study, data),
    )


def _lens_of(study: Study, data: bytes) -> str | None:
    """Return the study's lens of the camera that took a picture, where exactly one is known to be.

    Shape and focal length must both be written and agree: a picture that tells less may be any camera's.
    """
    kept = lenses(study)
    if not kept:
        return None
    from tameshi.footprint import parse_lens
    from tameshi.readers.image import read_image

    try:
        photo = read_image(data)
    except TameshiError:
        return None  # measuring says what is wrong with it
    fitting = []
    for one in kept:
        lens = parse_lens(read_original(study, one).decode("utf-8-sig", errors="replace"), where=one.name)
        if lens.focal and photo.focal and lens.is_of(photo.width, photo.height, photo.focal):
            fitting.append(one.sha256)
    return fitting[0] if len(fitting) == 1 else None


def _strike(study: Study, typed: str) -> tuple[str, int]:
    """Return the recording and index that "recording.csv:2" means."""
    name, _, index = typed.rpartition(":")
    if not name or not index.isdigit():
        raise WrongUseError(
            "strike-unclear",
            f"{typed!r} names no strike.",
            hint='Write recording and index, "recording.csv:2".',
        )
    return find_original(study, name).sha256, int(index)
