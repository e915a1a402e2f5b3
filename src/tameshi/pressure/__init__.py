"""Pressure: force over contact area, and bounds on what it can be locally."""

from tameshi.pressure.contact_model import Band, ContactModel, contact_models, local_band
from tameshi.pressure.join import Pressure, join, join_typical, typical_area
from tameshi.pressure.record import pressure_as_dict, pressure_to_record

__all__ = [
    "Band",
    "ContactModel",
    "Pressure",
    "contact_models",
    "join",
    "join_typical",
    "local_band",
    "pressure_as_dict",
    "pressure_to_record",
    "typical_area",
]
