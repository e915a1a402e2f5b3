"""Invented originals and results to put into a study."""

from datetime import UTC, datetime, timedelta

from tameshi.study import (
    Description,
    Kind,
    Original,
    PrintDescription,
    Recipe,
    RecordingDescription,
    Result,
    Study,
    add_original,
    store_result,
)

AT = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
LATER = AT + timedelta(days=1)
RECORDING = b"0.0,0.1\n0.1,0.2\n"
PRINT = b"not really a picture"
RIG = b'name = "barn post"\n'


def add(
    study: Study,
    data: bytes,
    name: str,
    kind: Kind = "recording",
    description: Description | None = None,
    at: datetime = AT,
) -> Original:
    return add_original(study, data, name=name, kind=kind, at=at, description=description).original


def fill(study: Study) -> tuple[Original, Original, Original, Result]:
    """Add a rig, a recording with it, a print of its first strike, and a result with a picture."""
    rig = add(study, RIG, "post.toml", "rig")
    said = RecordingDescription(technique="hammer fist", athlete="A07", rig=rig.sha256)
    recording = add(study, RECORDING, "evening.csv", description=said)
    strike = PrintDescription(technique="hammer fist", recording=recording.sha256, strike=1)
    ink = add(study, PRINT, "ink.png", "print", strike)
    recipe = Recipe(kind="strikes", schema="tameshi.strikes/1", inputs={"recording": recording.sha256})
    result = store_result(study, recipe, {"strikes": []}, at=AT, files={"trace.png": b"picture"})
    return rig, recording, ink, result
