"""Make a recording ready to be measured: which channel, which rate, and how it becomes newtons."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass

import numpy as np

from tameshi.errors import Flag, UnitError, UnreadableError, WrongUseError
from tameshi.force import Origin, Trace
from tameshi.quantity import parse_unit, split_quantity, unit_of_kind
from tameshi.readers.recording import Channel, Recording, Samples, is_complete, pick_channel
from tameshi.rig import Conversion, Rig, conversion_by_scale, conversion_of_rig

FULL_SCALE = "FS"
_RATE_TOLERANCE = 0.01  # clocks and rounded stamps agree better than that, wrong units of time far worse
_FORCE_NAME = re.compile(r"force|kraft|load|newton|\bf\b", re.IGNORECASE)
_ACCELERATION_NAME = re.compile(r"acc|beschleun|vibr|gyro", re.IGNORECASE)
_WEIGHTS = {"kg": "kgf", "g": "gf", "lb": "lbf", "lbs": "lbf"}
_FORCE, _VOLTAGE, _RATIO, _PER_VOLT = (
    unit_of_kind(kind).dimension for kind in ("force", "voltage", "ratio", "force per volt")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the person says about a recording.

    Parameters
    ----------
    rig : Rig or None
    channel : str or None
        Name of the channel to measure.
    force_scale : str or None
        Newtons for a volt or for one unit of the file, as typed: ``"2.5 kN/V"``.
    rate : float or None
        Samples a second, in place of what the file says. [Hz]
    """

    rig: Rig | None = None
    channel: str | None = None
    force_scale: str | None = None
    rate: float | None = None


def prepare(recording: Recording, origin: Origin, asked: Asked) -> tuple[Trace, Conversion]:
    """Return the trace to measure and its conversion to newtons.

    Parameters
    ----------
    recording : Recording
    origin : Origin
        File and digest; the channel is filled in.
    asked : Asked

    Raises
    ------
    WrongUseError
        Where the channel, the rate or the scale is missing or contradicts the file.
    """
    channel = pick_channel(recording, asked.channel)
    of_file = channel.rate or recording.rate
    rate = asked.rate or of_file
    if rate is None:
        raise WrongUseError(
            "rate-unknown",
            f"{origin.file} has no time column and states no sampling rate.",
            hint='Give it, for example --rate "20 kHz".',
        )
    complete = is_complete(channel.samples)
    if not complete and not np.isfinite(channel.samples).any():
        raise UnreadableError(
            "no-numbers",
            f"{origin.file} holds no numbers in {channel.label}.",
            hint="Pick another --channel.",
        )
    samples, unit, conversion, flags = _converted(channel, origin, asked)
    source = Origin(origin.file, origin.sha256, channel.name)
    flags += _rate_conflict(of_file, asked)
    flags += [] if complete else _missing(channel.samples, (*recording.flags, *channel.flags))
    noticed = [*recording.flags, *channel.flags, *flags]
    return Trace(samples, rate, unit, source, tuple(noticed), channel.spacing), conversion


def _rate_conflict(of_file: float | None, asked: Asked) -> list[Flag]:
    """Return a flag where file, person and rig disagree on the rate: a wrong unit of time shows so."""
    rate = asked.rate or of_file
    rig = asked.rig.converter.rate if asked.rig is not None else None
    said = ((of_file, "the file itself says"), (rig, "the rig file says"))
    other = [f"{words} {one:.6g}" for one, words in said if one and rate and not _same_rate(one, rate)]
    if not other:
        return []
    return [Flag("rate-conflict", f"{rate:.6g} samples a second were taken; {' and '.join(other)}.")]


def _same_rate(one: float, other: float) -> bool:
    return abs(one / other - 1.0) <= _RATE_TOLERANCE


def _missing(samples: Samples, known: tuple[Flag, ...]) -> list[Flag]:
    """Return a flag for readings that are no numbers, where the time stamps have not told of them."""
    count = int(np.count_nonzero(~np.isfinite(samples)))
    if not count or any(flag.code == "gap" for flag in known):
        return []
    return [Flag("gap", f"{count} of {len(samples)} samples are not numbers.")]


def _converted(channel: Channel, origin: Origin, asked: Asked) -> tuple[Samples, str, Conversion, list[Flag]]:
    """Return samples, their unit, the conversion to newtons, and what had to be assumed."""
    # "g" in an accelerometer's column is no weight
    weighs = not _ACCELERATION_NAME.search(channel.name)
    unit = _WEIGHTS.get(channel.unit, channel.unit) if weighs else channel.unit
    flags = []
    if unit != channel.unit:
        flags.append(Flag("unit-assumed", f"{channel.unit} was read as the force {unit}."))
    special = {FULL_SCALE: _full_scale, "": _without_unit}.get(unit)
    if special is not None:
        return special(channel, origin, asked)
    try:
        parsed = parse_unit(unit)
    except UnitError as error:
        return _unknown_unit(channel, origin, asked, error)
    samples = channel.samples if parsed.factor == 1.0 else channel.samples * parsed.factor
    if parsed.dimension == _FORCE:
        _refuse_scale(channel, asked)
        scale = conversion_by_scale(1.0, origin="newtons in the file", identity=_identity(origin, asked))
        return samples, "N", scale, flags
    if parsed.dimension == _VOLTAGE:
        return samples, "V", _of_volts(origin, asked, channel), flags
    if parsed.dimension == _RATIO and asked.rig is not None and unit != "1":
        amplifier = asked.rig.amplifier
        return samples * amplifier.excitation * amplifier.gain, "V", conversion_of_rig(asked.rig), flags
    return _unknown_unit(channel, origin, asked, None)


def _of_volts(origin: Origin, asked: Asked, channel: Channel) -> Conversion:
    """Return the conversion of volts: by the typed scale, else by the rig."""
    if asked.force_scale is not None:
        newtons, dimension = _scale(asked.force_scale)
        if dimension != _PER_VOLT:
            raise WrongUseError(
                "wrong-scale",
                f"{channel.label} holds volts, and {asked.force_scale!r} is not a force per volt.",
                hint='Write --force-scale "2.5 kN/V".',
            )
        return conversion_by_scale(newtons, origin="stated scale", identity=_identity(origin, asked))
    if asked.rig is not None:
        return conversion_of_rig(asked.rig)
    raise WrongUseError(
        "scale-unknown",
        f"{channel.label} of {origin.file} holds volts, and nothing says how many newtons a volt is.",
        hint='Give the rig with --rig rig.toml, or --force-scale "2.5 kN/V".',
    )


def _full_scale(
    channel: Channel, origin: Origin, asked: Asked
) -> tuple[Samples, str, Conversion, list[Flag]]:
    """Return shares of full scale as volts of the rig's converter, or as the typed scale has them."""
    dimension = _scale(asked.force_scale)[1] if asked.force_scale is not None else None
    if dimension == _FORCE:
        newtons = _scale(asked.force_scale or "")[0]
        scale = conversion_by_scale(newtons, origin="stated scale", identity=_identity(origin, asked))
        return channel.samples, "1", scale, []
    if asked.rig is not None:
        low, high = asked.rig.converter.span
        middle, half = 0.5 * (low + high), 0.5 * (high - low)
        # a span about zero needs no sum, in which short numbers would lose their last digits
        volts = (
            half * channel.samples if middle == 0.0 else half * channel.samples.astype(np.float64) + middle
        )
        return volts, "V", _of_volts(origin, asked, channel), []
    if asked.force_scale is None:
        raise WrongUseError(
            "scale-unknown",
            f"{origin.file} holds shares of full scale, and nothing says what full scale is.",
            hint='Give the rig with --rig rig.toml, or --force-scale "5 kN" for the force at full scale.',
        )
    message = "Full scale was taken as 1 V; a rig file would say what the converter's span is."
    return channel.samples, "V", _of_volts(origin, asked, channel), [Flag("unit-assumed", message)]


def _without_unit(
    channel: Channel, origin: Origin, asked: Asked
) -> tuple[Samples, str, Conversion, list[Flag]]:
    """Return a column that gives no unit by the typed scale, or as volts of the rig."""
    if asked.force_scale is not None:
        newtons, _ = _scale(asked.force_scale)
        scale = conversion_by_scale(newtons, origin="stated scale", identity=_identity(origin, asked))
        return channel.samples, "V", scale, []
    if asked.rig is not None and not _FORCE_NAME.search(channel.name):
        message = f"{channel.name} gives no unit; it was read as volts of the rig."
        return channel.samples, "V", conversion_of_rig(asked.rig), [Flag("unit-assumed", message)]
    raise WrongUseError(
        "unit-unknown",
        f"{channel.label} of {origin.file} gives no unit.",
        hint='Say what one of it is: --force-scale "1 N" for newtons, --force-scale "2.5 kN/V" for volts.',
    )


def _unknown_unit(
    channel: Channel, origin: Origin, asked: Asked, error: UnitError | None
) -> tuple[Samples, str, Conversion, list[Flag]]:
    if asked.force_scale is not None:
        return _without_unit(channel, origin, asked)
    raise WrongUseError(
        "wrong-unit",
        f"{channel.label} of {origin.file} is neither a force nor a voltage.",
        hint="Pick another --channel, or say with --force-scale how many newtons one of it is.",
    ) from error


def _refuse_scale(channel: Channel, asked: Asked) -> None:
    if asked.force_scale is not None:
        raise WrongUseError(
            "unit-conflict",
            f"{channel.label} is a force already; --force-scale {asked.force_scale!r} would scale it again.",
            hint="Leave --force-scale out.",
        )


def _scale(typed: str) -> tuple[float, tuple[int, int, int, int]]:
    """Return newtons for one unit of the reading, and the dimension that was typed."""
    number, expression = split_quantity(typed, "force per volt")
    if not expression:
        raise UnitError(
            "unit-missing",
            f"{typed!r} has no unit.",
            hint="Write 2.5 kN/V, or 5 kN for the force at full scale.",
        )
    unit = parse_unit(expression)
    if unit.dimension not in (_FORCE, _PER_VOLT) or number == 0.0:
        raise UnitError(
            "wrong-unit",
            f"{typed!r} is no force scale.",
            hint="Units that fit: N/V, kN/V, lbf/V, or N for newtons.",
        )
    return number * unit.factor, unit.dimension


def _identity(origin: Origin, asked: Asked) -> str:
    """Tell one stated scale from another; recordings of the same one share its error."""
    told = f"{asked.force_scale}|{asked.rig.identity if asked.rig else origin.sha256}"
    return hashlib.sha256(told.encode()).hexdigest()[:16]
