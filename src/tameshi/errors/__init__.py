"""What can go wrong, in sentences: exceptions that stop a measurement and flags that travel with it."""

from tameshi.errors.error import (
    RigError,
    StudyError,
    TameshiError,
    UnitError,
    UnmeasurableError,
    UnreadableError,
    WrongUseError,
)
from tameshi.errors.flag import Flag

__all__ = [
    "Flag",
    "RigError",
    "StudyError",
    "TameshiError",
    "UnitError",
    "UnmeasurableError",
    "UnreadableError",
    "WrongUseError",
]
