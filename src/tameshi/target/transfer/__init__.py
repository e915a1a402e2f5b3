"""Transfer: from a strike on a plate to the same strike on a free part of the body."""

from tameshi.target.transfer.assumed import assumptions, cited, model_name
from tameshi.target.transfer.band import SHARES, Band
from tameshi.target.transfer.blow import Blow, Pad, blow_of, cut_pulse
from tameshi.target.transfer.extremes import Limits, transfer_limits
from tameshi.target.transfer.head_bands import HeadBands
from tameshi.target.transfer.integrate import History, follow_contact
from tameshi.target.transfer.onto import DOUBTS, DRAWS, OUTSIDE, Arrival, Transfer, transfer
from tameshi.target.transfer.part import BodyPart, PartModel, body_part, part_names
from tameshi.target.transfer.record import (
    SCHEMA,
    band_as_dict,
    cautions,
    part_as_dict,
    transfer_as_dict,
    transfer_to_record,
)
from tameshi.target.transfer.recorded import Driven, drive, scaled_pulse
from tameshi.target.transfer.spread import Known, Range
from tameshi.target.transfer.stored import transfer_from_record
from tameshi.target.transfer.striker import Striker, published_striker
from tameshi.target.transfer.two_body import (
    WALL,
    Collision,
    collide,
    greatest_speed,
    in_series,
    passed_on,
    reduced_mass,
)

__all__ = [
    "DOUBTS",
    "DRAWS",
    "OUTSIDE",
    "SCHEMA",
    "SHARES",
    "WALL",
    "Arrival",
    "Band",
    "Blow",
    "BodyPart",
    "Collision",
    "Driven",
    "HeadBands",
    "History",
    "Known",
    "Limits",
    "Pad",
    "PartModel",
    "Range",
    "Striker",
    "Transfer",
    "assumptions",
    "band_as_dict",
    "blow_of",
    "body_part",
    "cautions",
    "cited",
    "collide",
    "cut_pulse",
    "drive",
    "follow_contact",
    "greatest_speed",
    "in_series",
    "model_name",
    "part_as_dict",
    "part_names",
    "passed_on",
    "published_striker",
    "reduced_mass",
    "scaled_pulse",
    "transfer",
    "transfer_as_dict",
    "transfer_from_record",
    "transfer_limits",
    "transfer_to_record",
]
