"""One strike as it is set beside published values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tameshi.quantity import Measured, Missing, Quantity, ratio
from tameshi.rig import BARE
from tameshi.tolerance.kind import Kind
from tameshi.tolerance.modelled import Modelled
from tameshi.tolerance.reading import (
    Reading,
    contact_force,
    local_pressure,
    local_pressure_of,
    mean_pressure,
)

_UNKNOWN_FORCE = Missing("N", "no force was given")
_UNKNOWN_PRESSURE = Missing("Pa", "there is no contact area to divide by")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What is known of one strike, or of what is typical of a technique.

    Parameters
    ----------
    label : str
        As shown.
    force : Quantity or Missing
        Peak force on the plate. [N]
    area : Quantity or None
        Contact area. [m2]
    duration : Quantity or None
        Contact duration. [s]
    mean_pressure : Quantity or Missing or None
        Force over area where it was worked out before; made from force and area where None. [Pa]
    local_pressure : Quantity or None
        Where it was measured as such. [Pa]
    pad : str or None
        On the plate; ``"none"`` for a bare one, None where it is not known.
    surfaces : tuple of str
        Striking surfaces; empty where they are not known.
    modelled : tuple of Modelled
        What models worked out from the strike.
    """

    label: str
    force: Measured = _UNKNOWN_FORCE
    area: Quantity | None = None
    duration: Quantity | None = None
    mean_pressure: Measured | None = None
    local_pressure: Quantity | None = None
    pad: str | None = None
    surfaces: tuple[str, ...] = ()
    modelled: tuple[Modelled, ...] = ()

    @property
    def pressure(self) -> Measured:
        """Mean pressure over the print. [Pa]"""
        if self.mean_pressure is not None:
            return self.mean_pressure
        if isinstance(self.force, Missing) or self.area is None or self.area.low <= 0.0:
            return _UNKNOWN_PRESSURE
        return ratio(self.force, self.area)

    @property
    def readings(self) -> Mapping[Kind, Reading]:
        """What the strike offers, each kind once."""
        local = local_pressure_of(self.pressure)
        if self.local_pressure is not None:
            local = local_pressure(self.local_pressure)
        offered = (contact_force(self.force), mean_pressure(self.pressure), local)
        return {reading.kind: reading for reading in offered if reading is not None}

    @property
    def is_bare(self) -> bool:
        """Whether the plate is known to have been bare."""
        return self.pad is not None and self.pad.strip().lower() == BARE
