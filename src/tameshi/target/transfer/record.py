"""The machine-readable forms of a transfer, as docs/results.md lays them down."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tameshi.quantity import Quantity, as_dict, to_record
from tameshi.reference import row, table
from tameshi.target.transfer.assumed import assumptions
from tameshi.target.transfer.band import Band
from tameshi.target.transfer.extremes import Limits
from tameshi.target.transfer.head_bands import HeadBands
from tameshi.target.transfer.onto import Arrival, Transfer
from tameshi.target.transfer.part import BodyPart, PartModel
from tameshi.target.transfer.spread import Known, Range
from tameshi.target.transfer.striker import Striker

SCHEMA = "tameshi.transfer/1"
ARRIVING = ("peak_force", "duration", "impulse", "acceleration", "mean_acceleration", "speed")
LIMITED = {
    "peak_force": "force",
    "acceleration": "acceleration",
    "speed": "speed",
    "hic15": "hic15",
    "hic36": "hic36",
}
OF_A_HEAD = {
    "peak": "peak",
    "hic15": "hic15",
    "hic36": "hic36",
    "severity_index": "severity",
    "clip_3ms_contiguous": "clip_contiguous",
    "clip_3ms_summed": "clip_summed",
}
Form = Callable[[Quantity], dict[str, Any]]
BandForm = Callable[[Band], dict[str, Any]]


def transfer_as_dict(found: Transfer) -> dict[str, Any]:
    """Return a transfer as one entry of what ``tameshi transfer --json`` prints."""
    return _transfer(found, as_dict, band_as_dict)


def transfer_to_record(found: Transfer) -> dict[str, Any]:
    """Return the stored form, which :func:`transfer_from_record` reads back: with the quantiles of bands."""
    return {**_transfer(found, to_record, _band_to_record), "onto": part_as_dict(found.part)}


def band_as_dict(band: Band) -> dict[str, Any]:
    """Return a band: no object of a measured quantity, and never to be mistaken for one."""
    return {
        "median": band.median,
        "low": band.low,
        "high": band.high,
        "unit": band.unit,
        "level": band.level,
        "modelled": True,
    }


def _band_to_record(band: Band) -> dict[str, Any]:
    return {**band_as_dict(band), "quantiles": list(band.quantiles)}


def part_as_dict(part: BodyPart) -> dict[str, Any]:
    """Return a part of the body with the parameters it stands for and their sources."""
    return {"part": part.name, "models": [_model(one) for one in part.models]}


def cautions() -> list[dict[str, str]]:
    """Return the sentences that stand beside every transfer."""
    rows = table("transfer_cautions").rows
    return [{"code": key, "lead": one["lead"], "text": one["text"]} for key, one in rows.items()]


def _transfer(found: Transfer, form: Form, band: BandForm) -> dict[str, Any]:
    blow = found.blow
    return {
        "strike": blow.index,
        "modelled": True,
        "measured": {
            "peak_force": form(blow.peak_force),
            "impulse": form(blow.impulse),
            "contact_duration": form(blow.duration),
            "pad": blow.pad.name,
            "pad_stiffness": _known(blow.pad.stiffness, "N/m", form),
        },
        "striker": {
            **_said(found.striker, form),
            "effective_mass": _optional(found.striker_mass, band),
            "speed": _optional(found.striker_speed, band),
            "stiffness": _optional(found.striker_stiffness, band),
        },
        "arrival": None if found.arrival is None else _arrival(found.arrival, band),
        "by_model": [_arrival(one, band) for one in found.by_model],
        "limits": _limits(found.limits, band),
        "head": None if found.head is None else _head(found.head, band),
        "assumptions": list(assumptions(found)),
        "flags": [flag.as_dict() for flag in found.flags],
    }


def _said(striker: Striker, form: Form) -> dict[str, Any]:
    published = striker.published if striker.mass is None and striker.speed is None else None
    return {
        "given_mass": _known(striker.mass, "kg", form),
        "given_speed": _known(striker.speed, "m/s", form),
        "published": published,
        "source": None if published is None else row("strikers", published)["source"],
    }


def _known(known: Known | None, unit: str, form: Form) -> dict[str, Any] | None:
    if known is None:
        return None
    return {"low": known.low, "high": known.high, "unit": unit} if isinstance(known, Range) else form(known)


def _optional(band: Band | None, form: BandForm) -> dict[str, Any] | None:
    return None if band is None else form(band)


def _arrival(arrival: Arrival, form: BandForm) -> dict[str, Any]:
    return {"name": arrival.name, **{name: form(getattr(arrival, name)) for name in ARRIVING}}


def _limits(limits: Limits, form: BandForm) -> dict[str, Any]:
    return {key: _optional(getattr(limits, name), form) for key, name in LIMITED.items()}


def _head(head: HeadBands, form: BandForm) -> dict[str, Any]:
    return {key: form(getattr(head, name)) for key, name in OF_A_HEAD.items()}


def _model(model: PartModel) -> dict[str, Any]:
    return {
        "name": model.name,
        "stiffness": {"low": model.stiffness.low, "high": model.stiffness.high, "unit": "N/m"},
        "mass": {"low": model.mass.low, "high": model.mass.high, "unit": "kg"},
        "source": model.source,
        "mass_source": model.mass_source,
    }
