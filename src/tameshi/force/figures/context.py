"""What all windows of a recording share."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.force.settings import Settings
from tameshi.force.trace import Origin
from tameshi.rig import Conversion, Rig


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Context:
    """What all windows of a recording share; mains hum is that of a stretch of it."""

    rate: float
    step: float
    mains: float | None
    conversion: Conversion
    rig: Rig | None
    settings: Settings
    origin: Origin
    rail: float | None
    chain: str
    samples: int
    ac_constant: float | None = None
    look_for_ac: bool = True
    spacing: float = 0.0
