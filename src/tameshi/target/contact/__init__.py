"""Laws of contact between a striker and what it meets."""

from tameshi.target.contact.distribution import Distribution
from tameshi.target.contact.hertz import (
    FLAT,
    Body,
    PointContact,
    contact_modulus,
    contact_radius,
    hertz_stiffness,
    press,
    squeeze,
)
from tameshi.target.contact.hunt_crossley import DissipativeContact, damping_for, restitution
from tameshi.target.contact.impact import DURATION, FORCE, MEAN_OVER_PEAK, TURNS, Impact, strike_elastically
from tameshi.target.contact.layer import Layer, LayerContact, confined_modulus, indent
from tameshi.target.contact.punch import PunchContact, punch, punch_pressure

__all__ = [
    "DURATION",
    "FLAT",
    "FORCE",
    "MEAN_OVER_PEAK",
    "TURNS",
    "Body",
    "DissipativeContact",
    "Distribution",
    "Impact",
    "Layer",
    "LayerContact",
    "PointContact",
    "PunchContact",
    "confined_modulus",
    "contact_modulus",
    "contact_radius",
    "damping_for",
    "hertz_stiffness",
    "indent",
    "press",
    "punch",
    "punch_pressure",
    "restitution",
    "squeeze",
    "strike_elastically",
]
