"""Pressure: force over contact area, and bounds on what it can be locally."""

from tameshi.pressure.area_law import AreaLaw, ContactLaw, area_law, in_words
from tameshi.pressure.contact_model import Band, ContactModel, contact_models, local_band
from tameshi.pressure.course import Course, Pulse, Range, pressure_course
from tameshi.pressure.improve import Improvement, Repeated, improvements
from tameshi.pressure.join import AreaFrom, Pressure, join, join_by_law, join_typical
from tameshi.pressure.patches import PatchPressure, PatchSplit, split_by_patch
from tameshi.pressure.record import law_as_dict, pressure_as_dict, pressure_to_record, repeats_as_dict
from tameshi.pressure.repeats import Repeats, repeat_prints, typical_area

__all__ = [
    "AreaFrom",
    "AreaLaw",
    "Band",
    "ContactLaw",
    "ContactModel",
    "Course",
    "Improvement",
    "PatchPressure",
    "PatchSplit",
    "Pressure",
    "Pulse",
    "Range",
    "Repeated",
    "Repeats",
    "area_law",
    "contact_models",
    "improvements",
    "in_words",
    "join",
    "join_by_law",
    "join_typical",
    "law_as_dict",
    "local_band",
    "pressure_as_dict",
    "pressure_course",
    "pressure_to_record",
    "repeat_prints",
    "repeats_as_dict",
    "split_by_patch",
    "typical_area",
]
