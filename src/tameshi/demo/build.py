"""Build the demo study: simulate its recordings, render its photos, keep the truth beside them."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.chain import Surroundings, record
from tameshi.demo.photo import (
    Camera,
    Finish,
    Light,
    Printed,
    Setting,
    Surface,
    as_jpeg,
    as_png,
    render_photo,
    render_scan,
)
from tameshi.demo.prints import ContactPrint
from tameshi.demo.pulses import Force, Truth, contact_force, together, truth_of
from tameshi.demo.scenario import (
    BETWEEN_STRIKES,
    FIRST_STRIKE,
    NOTE,
    ONTO,
    RATE,
    RIG_FILE,
    SEED,
    SESSION,
    SHRUNK,
    STUDY_NAME,
    TECHNIQUES,
    Technique,
    duration,
    true_rig,
    varied,
)
from tameshi.files import make_folder, write_atomic
from tameshi.footprint import BAR_LENGTH, Box, sheet_layout
from tameshi.rig import calibration_table, fit_calibration
from tameshi.study import (
    PrintDescription,
    RecordingDescription,
    Side,
    Study,
    add_original,
    keep_question,
    new_study,
)

FloatArray = NDArray[np.float64]
Tell = Callable[[str], None]

_LOADS = (0.0, 600.0, 1200.0, 1800.0, 2400.0, 3000.0, 3600.0)
_READING_SCATTER = 0.0006  # V
_SCAN_DPI = 400.0
_LONGEST_CONTACT = 0.12


@dataclass(frozen=True, slots=True)
class Built:
    """A built demo study.

    Parameters
    ----------
    study : Path
        Folder of the study.
    truth : Path
        JSON file with what is true of every strike and print.
    """

    study: Path
    truth: Path


def build_demo(folder: Path, *, at: datetime, tell: Tell) -> Built:
    """Build the demo study in a new folder.

    Parameters
    ----------
    folder : Path
        Gets the study in ``study`` and the truth beside it.
    at : datetime
        Now, with its time zone.
    tell : callable
        Told what is being made.

    Raises
    ------
    StudyError
        If the folder holds something already.
    """
    rng = np.random.default_rng(SEED)
    make_folder(folder)
    truth: dict[str, Any] = {"invented": True, "strikes": {}, "prints": {}}
    with new_study(folder / "study", name=STUDY_NAME) as study:
        rig = add_original(study, _rig_file(rng), name="wall-post.toml", kind="rig", at=at).original.sha256
        for technique in TECHNIQUES:
            tell(f"  {technique.name}: {technique.file}")
            _add_technique(study, technique, rig, rng, truth, at)
        for question in ONTO:
            keep_question(study, question)
    path = folder / "truth.json"
    write_atomic(path, (json.dumps(truth, indent=1) + "\n").encode())
    return Built(folder / "study", path)


def _rig_file(rng: np.random.Generator) -> bytes:
    """Return the club's rig file with the calibration that known loads gave."""
    loads = np.repeat(_LOADS, 2)
    readings = loads * true_rig().rated_sensitivity + rng.normal(0.0, _READING_SCATTER, len(loads))
    fitted = fit_calibration(loads, readings, load_u=0.0005)
    return f"{RIG_FILE}\n{calibration_table(fitted, date=SESSION)}".encode()


def _add_technique(
    study: Study,
    technique: Technique,
    rig: str,
    rng: np.random.Generator,
    truth: dict[str, Any],
    at: datetime,
) -> None:
    count = len(technique.efforts)
    starts = FIRST_STRIKE + BETWEEN_STRIKES * np.arange(count) + rng.uniform(-0.2, 0.2, count)
    strikers = [technique.striker(rng) for _ in starts]
    forces = [
        contact_force(replace(striker, speed=effort * striker.speed), float(start))
        for striker, effort, start in zip(strikers, technique.efforts, starts, strict=True)
    ]
    usual = technique.contact(rng)
    contacts = [
        varied(usual, _truth(force, float(start)).peak_force / technique.usual, rng)
        for force, start in zip(forces, starts, strict=True)
    ]
    surroundings = Surroundings(noise=2.5, hum=6.0, drift=15.0, offset=float(rng.uniform(-200.0, 200.0)))
    volts = record(together(forces), duration(technique), true_rig(), surroundings, rng)
    data = _WRITERS[technique.form](volts)
    description = RecordingDescription(
        technique=technique.name,
        athlete=technique.athlete,
        session=SESSION,
        side=cast("Side", technique.side),
        note=NOTE,
        rig=rig,
    )
    added = add_original(study, data, name=technique.file, kind="recording", at=at, description=description)
    truth["strikes"][technique.file] = [
        _true_strike(force, float(start), contact)
        for force, start, contact in zip(forces, starts, contacts, strict=True)
    ]
    for order, strike in enumerate(technique.printed):
        name, picture, said = _printed(technique, order, contacts[strike - 1], rng)
        told = order < len(technique.printed) - 1  # the last print's strike was not written down
        description_of_print = PrintDescription(
            technique=technique.name,
            athlete=technique.athlete,
            session=SESSION,
            note=NOTE,
            recording=added.original.sha256 if told else None,
            strike=strike if told else None,
            **said,
        )
        add_original(study, picture, name=name, kind="print", at=at, description=description_of_print)
        truth["prints"][name] = {"contact_area": contacts[strike - 1].contact_area}


def _truth(force: Force, start: float) -> Truth:
    return truth_of(force, start - 0.005, start + _LONGEST_CONTACT)


def _true_strike(force: Force, start: float, contact: ContactPrint) -> dict[str, float]:
    true = _truth(force, start)
    return {
        "onset": true.onset,
        "peak_force": true.peak_force,
        "impulse": true.impulse,
        "contact_duration": true.contact_duration,
        "rise_time": true.rise_time,
        "time_to_peak": true.time_to_peak,
        "contact_area": contact.contact_area,
        "mean_pressure": true.peak_force / contact.contact_area,
    }


def _printed(
    technique: Technique, order: int, contact: ContactPrint, rng: np.random.Generator
) -> tuple[str, bytes, dict[str, Any]]:
    """Return name, content and what is said of one print: a photo of the sheet, or a scan."""
    stem = f"{technique.file.rpartition('.')[0]}-print-{order + 1}"
    ink = Surface(ink=(0.06, 0.07, 0.16), patchiness=0.05)
    if technique.scanned and order == 0:
        page = Box(0.0, 0.0, 0.12, 0.12)
        scan = render_scan(contact.moved(0.06, 0.06), page, _SCAN_DPI, rng, surface=ink)
        return f"{stem}.png", as_png(scan, dpi=_SCAN_DPI), {"reference": "scan"}
    sheet = sheet_layout("a4")
    placed = contact.moved(
        sheet.zone.left + 0.5 * sheet.zone.width + float(rng.uniform(-0.02, 0.02)),
        sheet.zone.top + 0.5 * sheet.zone.height + float(rng.uniform(-0.02, 0.02)),
    )
    setting = Setting(
        camera=Camera(
            width=1500,
            height=2000,
            tilt=float(rng.uniform(4.0, 22.0)),
            azimuth=float(rng.uniform(0.0, 360.0)),
            roll=float(rng.uniform(-6.0, 6.0)),
            fill=0.8,
        ),
        light=Light(gradient=0.25, direction=float(rng.uniform(0.0, 360.0)), balance=(1.0, 0.97, 0.9)),
        finish=Finish(quality=88),
        surface=ink,
        printed=Printed(paper="a4", scale=(SHRUNK, SHRUNK)),
    )
    photo = as_jpeg(render_photo(placed, setting, rng), quality=88)
    return f"{stem}.jpg", photo, {"reference": "target", "paper": "a4", "bar_length": SHRUNK * BAR_LENGTH}


def _as_csv(volts: FloatArray) -> bytes:
    time = np.arange(len(volts)) / RATE
    rows = "\n".join(f"{t:.5f},{v:.6f}" for t, v in zip(time.tolist(), volts.tolist(), strict=True))
    return f"time_s,volts\n{rows}\n".encode()


def _as_wav(volts: FloatArray) -> bytes:
    import soundfile  # noqa: PLC0415  only this recording needs it

    low, high = true_rig().converter.span
    shares = 2.0 * (volts - low) / (high - low) - 1.0
    written = io.BytesIO()
    soundfile.write(written, shares, round(RATE), format="WAV", subtype="PCM_16")
    return written.getvalue()


def _as_semicolons(volts: FloatArray) -> bytes:
    """Return what a logger with decimal commas writes: preamble, names, units, time in milliseconds."""
    head = f"Invented logger\nSession;{SESSION}\n\nTime;Plate\nms;mV\n"
    time = 1e3 * np.arange(len(volts)) / RATE
    rows = "\n".join(f"{t:.2f};{1e3 * v:.3f}" for t, v in zip(time.tolist(), volts.tolist(), strict=True))
    return (head + rows.replace(".", ",") + "\n").encode()


_WRITERS: dict[str, Callable[[FloatArray], bytes]] = {
    "csv": _as_csv,
    "wav": _as_wav,
    "semicolon": _as_semicolons,
}
