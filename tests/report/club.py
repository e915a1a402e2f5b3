"""An invented club's study, small enough to be made anew for a test: simulated strikes, rendered scans."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.chain import Surroundings, record
from tameshi.demo.photo import as_png, render_scan
from tameshi.demo.prints import ContactPrint, hammer_fist, palm_heel, wobbly_blob
from tameshi.demo.pulses import Force, half_sine, skewed, together
from tameshi.footprint import Box
from tameshi.report import Report, make_report
from tameshi.rig import parse_rig
from tameshi.study import (
    Description,
    Kind,
    Original,
    PrintDescription,
    RecordingDescription,
    Study,
    TransferQuestion,
    Units,
    add_original,
    keep_question,
    new_study,
)
from tameshi.target.transfer import Range

FloatArray = NDArray[np.float64]

File = tuple[bytes, str, Kind, Description | None]

AT = datetime(2026, 5, 3, 18, 0, tzinfo=UTC)
RIG = """
name = "hall post"
[cell]
capacity = "8 kN"
rated_output = "2 mV/V"
natural_frequency = "420 Hz"
damping_ratio = 0.03
[amplifier]
excitation = "5 V"
gain = 250
[converter]
rate = "10 kHz"
bits = 16
span = ["-2.5 V", "2.5 V"]
[plate]
pad = "felt, 6 mm"
"""
RATE = 10_000.0
QUIET = Surroundings(noise=4.0, offset=30.0)
SEEN = Box(-0.06, -0.05, 0.06, 0.05)


def volts(force: Force, duration: float = 1.2, seed: int = 1) -> FloatArray:
    """Return what the rig records."""
    return record(force, duration, parse_rig(RIG), QUIET, np.random.default_rng(seed))


def as_csv(samples: FloatArray, name: str = "bridge") -> bytes:
    """Return samples as a text file with time stamps."""
    lines = (f"{index / RATE:.4f},{value:.6f}" for index, value in enumerate(samples))
    return "\n".join([f"t [s],{name} [V]", *lines, ""]).encode()


def scan(draw: Callable[[np.random.Generator], ContactPrint], seed: int = 1) -> bytes:
    """Return a scanned print on plain paper."""
    generator = np.random.default_rng(seed)
    return as_png(render_scan(draw(generator), SEEN, 150.0, generator), dpi=150.0)


def add(
    study: Study,
    data: bytes,
    name: str,
    kind: Kind,
    description: Description | None = None,
    at: datetime = AT,
) -> Original:
    """Add a file and return it."""
    return add_original(study, data, name=name, kind=kind, at=at, description=description).original


def recording_of(
    technique: str | None, rig: Original | None, *, athlete: str | None = "K1", note: str | None = None
) -> RecordingDescription:
    """Return a description of a recording."""
    sha256 = rig.sha256 if rig else None
    return RecordingDescription(
        technique=technique, athlete=athlete, session="3 May", rig=sha256, note=note, side="right"
    )


def empty(folder: Path, *, units: Units = "si", name: str = "Quarry Lane, spring") -> Study:
    """Return a study without anything in it."""
    return new_study(folder, name=name, units=units)


def filled(folder: Path, *, units: Units = "si") -> Study:
    """Return a study with everything a report can meet.

    Two techniques; one strike with a print of its own, others with typical prints; a top that was cut
    off; a recording without strikes, one of a technique without prints, and files that are none. Some are
    to be carried over to parts of the body, once through a pad that nobody knows the stiffness of.
    """
    study = empty(folder, units=units)
    keep_question(study, TransferQuestion(part="face", technique="palm heel", mass=Range(1.5, 2.5)))
    keep_question(study, TransferQuestion(part="chest", pad_stiffness=Range(5e6, 9e6), speed=Range(6.0, 7.0)))
    rig = add(study, RIG.encode(), "post.toml", "rig")
    palm = as_csv(volts(together([skewed(2300.0, 0.012, 0.3), skewed(2600.0, 0.011, 0.8)])))
    palms = add(study, palm, "palm.csv", "recording", recording_of("palm heel", rig))
    fist = as_csv(volts(together([half_sine(3100.0, 0.006, 0.3), half_sine(9500.0, 0.007, 0.8)]), seed=2))
    add(study, fist, "fist.csv", "recording", recording_of("hammer fist", rig))
    knee = as_csv(volts(half_sine(3300.0, 0.02, 0.4), seed=3))
    add(study, knee, "knee.csv", "recording", recording_of("knee", rig, athlete="K2", note="A note."))
    hall = as_csv(volts(np.zeros_like, seed=4))
    add(study, hall, "hall.csv", "recording", recording_of("palm heel", rig))
    add(study, b"bread\nmilk\n", "list.csv", "recording", recording_of("palm heel", rig))
    prints = {"palm-1.png": scan(palm_heel, 1), "palm-2.png": scan(palm_heel, 2)}
    for name, data in prints.items():
        add(study, data, name, "print", PrintDescription(technique="palm heel", athlete="K1"))
    own = PrintDescription(technique="palm heel", recording=palms.sha256, strike=2)
    add(study, scan(palm_heel, 3), "palm-own.png", "print", own)
    add(study, scan(hammer_fist, 4), "fist.png", "print", PrintDescription(technique="hammer fist"))
    add(study, b"no picture", "bench.png", "print", PrintDescription(technique="knee"))
    return study


def told(folder: Path, files: Sequence[File]) -> Report:
    """Return the report of a study with just these files."""
    with empty(folder) as study:
        for data, name, kind, description in files:
            add(study, data, name, kind, description)
        return make_report(study, at=AT)


def with_paired_prints(folder: Path, *, exponent: float = 0.5, seed: int = 1) -> Study:
    """Return a study of six ever harder strikes, each with a print whose area follows a law of contact."""
    study = empty(folder, name="Quarry Lane, harder and harder")
    generator = np.random.default_rng(seed)
    rig = add(study, RIG.encode(), "post.toml", "rig")
    peaks = np.geomspace(1100.0, 3600.0, 6)
    starts = 0.3 + 0.5 * np.arange(len(peaks))
    pulses = [half_sine(float(peak), 0.010, float(start)) for peak, start in zip(peaks, starts, strict=True)]
    samples = volts(together(pulses), duration=3.2, seed=seed)
    strikes = add(study, as_csv(samples), "palms.csv", "recording", recording_of("palm heel", rig))
    for number, peak in enumerate(peaks, start=1):
        area = 12e-4 * (peak / 2000.0) ** exponent * float(np.exp(generator.normal(0.0, 0.02)))
        contact = ContactPrint("palm heel", (wobbly_blob(generator, 0.0, 0.0, area),))
        data = as_png(render_scan(contact, SEEN, 150.0, generator), dpi=150.0)
        own = PrintDescription(technique="palm heel", recording=strikes.sha256, strike=number)
        add(study, data, f"palm-{number}.png", "print", own)
    return study
