"""Corrections of a print as typed: what the commands footprint and study add share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tameshi.errors import WrongUseError

if TYPE_CHECKING:
    from tameshi.footprint import Corrections


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """What was typed to correct a print."""

    leave_out: tuple[str, ...] = ()
    take_in: tuple[str, ...] = ()
    lassos: tuple[str, ...] = ()
    outline_at: float | None = None

    def __bool__(self) -> bool:
        """Whether anything was typed."""
        return bool(self._places) or self.outline_at is not None

    @property
    def _places(self) -> tuple[str, ...]:
        return (*self.leave_out, *self.take_in, *self.lassos)

    def corrections(self) -> Corrections:
        """Return what was typed as corrections."""
        from tameshi.footprint import parse_corrections

        return parse_corrections(
            leave_out=self.leave_out, take_in=self.take_in, lassos=self.lassos, outline_at=self.outline_at
        )

    def refuse_several(self, pictures: int) -> None:
        """Refuse places on the paper of one picture for several."""
        if self._places and pictures > 1:
            raise WrongUseError(
                "correction-unclear",
                "Patches and lassos belong to one picture, and several were given.",
                hint="Correct one image at a time; only --outline-at may go for several.",
            )
