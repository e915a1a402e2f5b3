"""Everything that can be said of the pressure under one strike beyond its mean at the peak."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.pressure.area_law import AreaLaw
from tameshi.pressure.course import Course, pressure_course
from tameshi.pressure.improve import Improvement, Repeated, improvements
from tameshi.pressure.join import Pressure
from tameshi.pressure.patches import PatchSplit, split_by_patch
from tameshi.pressure.pulse import Pulse
from tameshi.quantity import Quantity

_FEWEST_SAMPLES = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Detail:
    """Pressure over time, by patch, and what limits it.

    Parameters
    ----------
    course : Course or None
        None where the recording gives no curve of the contact.
    split : PatchSplit or None
        None where the print is not the strike's own.
    improvements : tuple of Improvement
        What limits the mean pressure, greatest first.
    """

    course: Course | None
    split: PatchSplit | None
    improvements: tuple[Improvement, ...]


def detail_of(
    pressure: Pressure,
    *,
    pulse: Pulse | None,
    patches: Sequence[Quantity],
    law: AreaLaw | None = None,
    alike: bool = False,
) -> Detail:
    """Return what can be said of a pressure beyond its mean at the peak.

    Parameters
    ----------
    pressure : Pressure
    pulse : Pulse or None
        Force over the contact.
    patches : sequence of Quantity
        Contact area of each patch of the strike's own print; none where there is no own print. [m2]
    law : AreaLaw or None
        Area against force of its technique.
    alike : bool
        Whether the person says that the patches are bodies of one kind that touched together.
    """
    long_enough = pulse is not None and len(pulse.time) >= _FEWEST_SAMPLES
    course = pressure_course(pulse, pressure.mean_pressure, law) if pulse and long_enough else None
    split = split_by_patch(pressure.force, patches, alike=alike, law=law) if patches else None
    typical = pressure.area_from == "typical print"
    repeated = {"area scatter": Repeated(pressure.prints, ahead=True)} if typical else {}
    return Detail(course=course, split=split, improvements=improvements(pressure.mean_pressure, repeated))
