"""A stored transfer read back: everything but the recorded pulse, which stays with the strike."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tameshi.errors import Flag
from tameshi.quantity import Quantity, from_record
from tameshi.target.transfer.band import Band
from tameshi.target.transfer.blow import Pad, blow_of
from tameshi.target.transfer.extremes import Limits
from tameshi.target.transfer.head_bands import HeadBands
from tameshi.target.transfer.onto import Arrival, Transfer
from tameshi.target.transfer.part import body_part
from tameshi.target.transfer.record import ARRIVING, OF_A_HEAD
from tameshi.target.transfer.spread import Known, Range
from tameshi.target.transfer.striker import Striker


def transfer_from_record(record: Mapping[str, Any]) -> Transfer:
    """Return a transfer as :func:`tameshi.target.transfer.transfer_to_record` wrote it.

    Parameters
    ----------
    record : mapping

    Returns
    -------
    Transfer
        Whose blow has no recorded pulse.

    Raises
    ------
    UnmeasurableError, WrongUseError, KeyError
        Where it was damaged.
    """
    measured, striker, head = record["measured"], record["striker"], record["head"]
    arrival = record["arrival"]
    return Transfer(
        blow=blow_of(
            index=int(record["strike"]),
            peak_force=from_record(measured["peak_force"]),
            impulse=from_record(measured["impulse"]),
            duration=from_record(measured["contact_duration"]),
            pad=Pad(measured["pad"], _known(measured["pad_stiffness"])),
        ),
        part=body_part(record["onto"]["part"]),
        striker=Striker(
            mass=_known(striker["given_mass"]),
            speed=_known(striker["given_speed"]),
            published=striker["published"],
        ),
        arrival=None if arrival is None else _arrival(arrival),
        by_model=tuple(map(_arrival, record["by_model"])),
        striker_mass=_maybe(striker["effective_mass"]),
        striker_speed=_maybe(striker["speed"]),
        striker_stiffness=_maybe(striker["stiffness"]),
        limits=_limits(record["limits"]),
        head=None if head is None else HeadBands(**{OF_A_HEAD[key]: _band(one) for key, one in head.items()}),
        flags=tuple(Flag(one["code"], one["message"], one["strike"]) for one in record["flags"]),
    )


def _band(entry: Mapping[str, Any]) -> Band:
    return Band(
        unit=entry["unit"],
        median=entry["median"],
        low=entry["low"],
        high=entry["high"],
        level=entry["level"],
        quantiles=tuple(entry["quantiles"]),
    )


def _maybe(entry: Mapping[str, Any] | None) -> Band | None:
    return None if entry is None else _band(entry)


def _arrival(entry: Mapping[str, Any]) -> Arrival:
    return Arrival(name=entry["name"], **{name: _band(entry[name]) for name in ARRIVING})


def _limits(entry: Mapping[str, Any]) -> Limits:
    return Limits(
        force=_band(entry["peak_force"]),
        acceleration=_band(entry["acceleration"]),
        speed=_maybe(entry["speed"]),
        hic15=_maybe(entry["hic15"]),
        hic36=_maybe(entry["hic36"]),
    )


def _known(entry: Mapping[str, Any] | None) -> Known | None:
    if entry is None:
        return None
    if "parts" not in entry:
        return Range(float(entry["low"]), float(entry["high"]))
    known = from_record(entry)
    return known if isinstance(known, Quantity) else None
