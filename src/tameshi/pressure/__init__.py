"""Pressure: force over contact area, and bounds on what it can be locally."""

from tameshi.pressure.area_law import AreaLaw, ContactLaw, area_law, in_words
from tameshi.pressure.contact_model import Band, ContactModel, contact_models, local_band
from tameshi.pressure.join import Pressure, join, join_typical
from tameshi.pressure.record import law_as_dict, pressure_as_dict, pressure_to_record, repeats_as_dict
from tameshi.pressure.repeats import Repeats, repeat_prints, typical_area

__all__ = [
    "AreaLaw",
    "Band",
    "ContactLaw",
    "ContactModel",
    "Pressure",
    "Repeats",
    "area_law",
    "contact_models",
    "in_words",
    "join",
    "join_typical",
    "law_as_dict",
    "local_band",
    "pressure_as_dict",
    "pressure_to_record",
    "repeat_prints",
    "repeats_as_dict",
    "typical_area",
]
