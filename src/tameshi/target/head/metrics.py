"""All measures of one head pulse together, and what they are worth: figures of a model."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.target.head.clip import HELD, clip_level
from tameshi.target.head.pulse import Pulse
from tameshi.target.head.severity import severity_index
from tameshi.target.head.windows import Window, injury_criterion

SHORT, LONG = 0.015, 0.036
"""Longest windows of HIC15 and HIC36. [s]"""

NOTE = (
    "Measures of the head are worked out from a modelled acceleration of a free head as one mass, without "
    "neck and without rotation, on which injury of the brain hangs: nothing was measured on a head or a head "
    "form, and beside published values they stand as modelled only."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadMeasures:
    """What is read off the acceleration of a head.

    Parameters
    ----------
    peak : float
        Greatest acceleration. [g0]
    hic15, hic36 : Window
        Head injury criterion with windows up to 15 and 36 ms. [s, with accelerations in g0]
    severity : float
        Severity index (GSI). [s, likewise]
    clip_contiguous, clip_summed : float
        Level held for 3 ms unbroken, and in all. [g0]
    is_modelled : bool
        Always true here: nothing in tameshi measures the acceleration of a head.
    """

    peak: float
    hic15: Window
    hic36: Window
    severity: float
    clip_contiguous: float
    clip_summed: float
    is_modelled: bool = True


def head_measures(pulse: Pulse) -> HeadMeasures:
    """Return the measures of a head pulse.

    Parameters
    ----------
    pulse : Pulse
        Modelled acceleration of the head's centre.
    """
    return HeadMeasures(
        peak=float(pulse.acceleration.max()),
        hic15=injury_criterion(pulse, SHORT),
        hic36=injury_criterion(pulse, LONG),
        severity=severity_index(pulse),
        clip_contiguous=clip_level(pulse, "contiguous", held=HELD),
        clip_summed=clip_level(pulse, "summed", held=HELD),
    )
