"""What a transfer takes for granted, in sentences: without them its bands mean nothing."""

from __future__ import annotations

from tameshi.quantity import Quantity
from tameshi.reference import row, source
from tameshi.target.transfer.blow import Pad
from tameshi.target.transfer.onto import Transfer
from tameshi.target.transfer.part import PartModel
from tameshi.target.transfer.spread import Known
from tameshi.target.transfer.striker import Striker

MODEL = "two masses and two springs"
_ALWAYS = (
    "The striker's spring is straight or hardens like a rounded body, one as often as the other.",
    "Energy is lost in the contact as Hunt and Crossley have it: restitution from 0 to 1.",
    "The strike onto the part is the one onto the plate: as fast, same hand or foot, same effort.",
)


def model_name(part: str) -> str:
    """Return the name of the model for a part, as it stands beside every figure that comes from it."""
    return f"{MODEL}, onto the {part}"


def assumptions(found: Transfer) -> tuple[str, ...]:
    """Return what a transfer takes for granted, a sentence each, in SI units."""
    return (
        *(_part(model) for model in found.part.models),
        *_together(found),
        _striker(found.striker),
        *_ALWAYS,
        _pad(found.blow.pad),
    )


def _part(model: PartModel) -> str:
    mass = f"{_span(model.mass, 1.0)} kg ({cited(model.mass_source)})"
    spring = f"{_span(model.stiffness, 1e3)} N/mm ({cited(model.source)})"
    return f"{model.name[:1].upper()}{model.name[1:]}: one free mass of {mass} on a spring of {spring}."


def _together(found: Transfer) -> tuple[str, ...]:
    if len(found.part.models) == 1:
        return ()
    return (f"The {len(found.part.models)} statements about the part are drawn equally often.",)


def _striker(striker: Striker) -> str:
    if striker.mass is not None and striker.speed is not None:
        mass, speed = _span(striker.mass, 1.0), _span(striker.speed, 1.0)
        return f"The striker: an effective mass of {mass} kg at {speed} m/s, as was said."
    if striker.mass is not None:
        return (
            f"The striker: an effective mass of {_span(striker.mass, 1.0)} kg, as was said; its speed from "
            "the impulse."
        )
    if striker.speed is not None:
        return (
            f"The striker: {_span(striker.speed, 1.0)} m/s at contact, as was said; its effective mass from "
            "the impulse."
        )
    if striker.published is not None:
        return f"The striker: masses and speeds of {row('strikers', striker.published)['meaning']}."
    return "Nothing is known of the striker: two limits, of which nothing tells what lies between."


def _pad(pad: Pad) -> str:
    if pad.is_bare:
        return "The plate was bare."
    if pad.stiffness is not None:
        return f"What the pad of {_span(pad.stiffness, 1e3)} N/mm on the plate did is taken back."
    return "What a pad on the plate may have done is not taken back: force and acceleration are lower bounds."


def _span(known: Known, factor: float) -> str:
    ends = (known.low, known.high)
    low, high = (f"{float(f'{end / factor:.3g}'):g}" for end in ends)
    if isinstance(known, Quantity) or low != high:
        return f"{low} to {high}"
    return low


def cited(key: str) -> str:
    """Return a source in few words: what stands in it, else who and when."""
    said = source(key)
    return str(said.get("short") or f"{said['authors']} {said['year'] or ''}".strip())
