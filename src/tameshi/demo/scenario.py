"""The invented scenario: a club's evening at the wall post. Every person, place and figure is made up.

An open-hand club compares palm heel, hammer fist and front kick on a padless plate. Two members, A01
and A02, strike; each technique fills one recording, in three forms that loggers write; some strikes
leave a print on a target sheet, which the club's printer has shrunk, and one goes under a scanner. The palm
heel is struck harder and harder, so that its prints show how contact area grows with force.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from tameshi.demo.prints import ContactPrint, Ridges, ball_of_foot, hammer_fist, palm_heel
from tameshi.demo.pulses import StrikingMass
from tameshi.rig import Amplifier, Cell, Converter, Plate, Rig
from tameshi.study import TransferQuestion
from tameshi.target.transfer import Range

SEED = 20260704
STUDY_NAME = "Invented study: three techniques at the wall post"
NOTE = "invented data"
SESSION = "2026-07-04"

RATE = 20_000.0
STEADY = (1.0,) * 5
HARDER = (0.62, 0.72, 0.82, 0.92, 1.02, 1.12, 1.22)
"""Speed of each strike of a technique, as a share of what is usual for the person."""

_PRINT_SCATTER = 0.025  # of a patch's radius, from strike to strike
ONTO = (
    TransferQuestion(part="face", technique="palm heel", mass=Range(1.5, 2.0)),
    TransferQuestion(part="chest", technique="hammer fist", mass=Range(0.8, 1.2)),
    TransferQuestion(part="chest", technique="front kick", speed=Range(5.0, 6.2)),
)
"""What the club asked to have carried over to a body, with what it knows of mass and speed. [kg], [m/s]"""

FIRST_STRIKE, BETWEEN_STRIKES = 0.8, 1.6
GROWTH = 0.5
"""Exponent of peak force in contact area: what is true of every print here."""
SHRUNK = 0.985
"""What the club's printer makes of a millimetre."""

Form = Literal["csv", "wav", "semicolon"]

RATED_OUTPUT, TRUE_OUTPUT = 2.0e-3, 2.016e-3
"""What the cell's data sheet says, and what the cell really does; its calibration finds out. [V/V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """One technique of the scenario.

    Parameters
    ----------
    name, athlete, side : str
    file : str
        Name of its recording.
    form : str
        How its recording is written.
    striker : callable
        Draws the striking mass of one strike.
    contact : callable
        Draws the print of a person's technique, centred on zero; strikes vary it.
    printed : tuple of int
        Strikes that leave a print, from 1; the last print is not told which strike it is of.
    efforts : tuple of float
        Speed of each strike as a share of the usual one.
    usual : float
        Peak force that its print is drawn for. [N]
    scanned : bool
        Its first print goes under a scanner instead of a camera.
    """

    name: str
    athlete: str
    side: str
    file: str
    form: Form
    striker: Callable[[np.random.Generator], StrikingMass]
    contact: Callable[[np.random.Generator], ContactPrint]
    printed: tuple[int, ...]
    usual: float
    efforts: tuple[float, ...] = STEADY
    scanned: bool = False


def _palm_heel_mass(rng: np.random.Generator) -> StrikingMass:
    return StrikingMass(
        mass=float(rng.normal(1.7, 0.08)),
        speed=float(rng.normal(5.9, 0.35)),
        stiffness=5.2e5,
        exponent=1.5,
        loss=0.030,
        push=float(rng.normal(120.0, 30.0)),
    )


def _hammer_fist_mass(rng: np.random.Generator) -> StrikingMass:
    return StrikingMass(
        mass=float(rng.normal(1.0, 0.05)),
        speed=float(rng.normal(7.4, 0.4)),
        stiffness=9.0e5,
        exponent=1.5,
        loss=0.025,
        push=float(rng.normal(80.0, 20.0)),
    )


def _front_kick_mass(rng: np.random.Generator) -> StrikingMass:
    return StrikingMass(
        mass=float(rng.normal(5.4, 0.25)),
        speed=float(rng.normal(5.6, 0.3)),
        stiffness=4.0e5,
        exponent=1.4,
        loss=0.035,
        push=float(rng.normal(350.0, 60.0)),
    )


TECHNIQUES = (
    Technique(
        name="palm heel",
        athlete="A01",
        side="right",
        file="palm-heel-A01.csv",
        form="csv",
        striker=_palm_heel_mass,
        contact=palm_heel,
        printed=(1, 2, 3, 5, 6, 7, 4),
        usual=2500.0,
        efforts=HARDER,
    ),
    Technique(
        name="hammer fist",
        athlete="A01",
        side="right",
        file="hammer-fist-A01.wav",
        form="wav",
        striker=_hammer_fist_mass,
        contact=hammer_fist,
        printed=(1, 2, 3, 4),
        usual=2900.0,
        scanned=True,
    ),
    Technique(
        name="front kick",
        athlete="A02",
        side="left",
        file="front-kick-A02.txt",
        form="semicolon",
        striker=_front_kick_mass,
        contact=ball_of_foot,
        printed=(1, 3, 4, 5),
        usual=5000.0,
    ),
)

RIG_FILE = """\
# The invented club's wall post. Every figure in this file is made up.
name = "club wall post (invented)"

[cell]
capacity = "10 kN"
rated_output = "2 mV/V"
natural_frequency = "1350 Hz"   # from taps on the mounted plate
natural_frequency_u = "8 Hz"
damping_ratio = 0.035
damping_ratio_u = 0.004
linearity = "0.05 %"
hysteresis = "0.05 %"
repeatability = "0.03 %"

[amplifier]
excitation = "5 V"
gain = 400
low_pass = "6 kHz"

[converter]
rate = "20 kHz"
bits = 16
span = ["-5 V", "5 V"]

[plate]
pad = "none"
"""


def true_rig() -> Rig:
    """Return the rig as it really is: what the simulator uses."""
    return Rig(
        name="the invented rig as it is",
        identity="true",
        cell=Cell(
            capacity=10_000.0, rated_output=TRUE_OUTPUT, natural_frequency=1357.0, damping_ratio=0.0365
        ),
        amplifier=Amplifier(excitation=5.0, gain=400.0, low_pass=6000.0),
        converter=Converter(rate=RATE, bits=16, span=(-5.0, 5.0)),
        plate=Plate(pad="none"),
    )


def duration(technique: Technique) -> float:
    """Return how long its recording is, in seconds."""
    return FIRST_STRIKE + BETWEEN_STRIKES * len(technique.efforts) + 0.2


def varied(contact: ContactPrint, pressed: float, rng: np.random.Generator) -> ContactPrint:
    """Return the print of one more strike: the same hand or foot, pressed more or less.

    Parameters
    ----------
    contact : ContactPrint
    pressed : float
        Peak force of the strike as a share of the one that the print is drawn for.
    rng : numpy Generator
    """
    larger = pressed ** (0.5 * GROWTH)  # a radius grows with the root of the area
    grown = [larger * float(rng.normal(1.0, _PRINT_SCATTER)) for _ in contact.patches]
    patches = tuple(
        replace(patch, radius=patch.radius * growth)
        for patch, growth in zip(contact.patches, grown, strict=True)
    )
    return replace(contact, patches=patches, ridges=Ridges())
