"""Pressure: force over contact area, and bounds on what it can be locally."""

from tameshi.pressure.area_law import AreaLaw, ContactLaw, area_law, in_words
from tameshi.pressure.contact_model import (
    Band,
    ContactModel,
    band_on_tissue,
    contact_models,
    local_band,
    tissue_ratios,
)
from tameshi.pressure.course import Course, Range, pressure_course
from tameshi.pressure.detail import Detail, detail_of
from tameshi.pressure.improve import Improvement, Repeated, improvements
from tameshi.pressure.join import AreaFrom, Pressure, join, join_by_law, join_typical
from tameshi.pressure.patches import PatchPressure, PatchSplit, split_by_patch
from tameshi.pressure.pulse import Pulse, contact_pulse
from tameshi.pressure.record import (
    detail_as_dict,
    law_as_dict,
    pressure_as_dict,
    pressure_to_record,
    repeats_as_dict,
)
from tameshi.pressure.repeats import Repeats, repeat_prints, typical_area

__all__ = [
    "AreaFrom",
    "AreaLaw",
    "Band",
    "ContactLaw",
    "ContactModel",
    "Course",
    "Detail",
    "Improvement",
    "PatchPressure",
    "PatchSplit",
    "Pressure",
    "Pulse",
    "Range",
    "Repeated",
    "Repeats",
    "area_law",
    "band_on_tissue",
    "contact_models",
    "contact_pulse",
    "detail_as_dict",
    "detail_of",
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
    "tissue_ratios",
    "typical_area",
]
