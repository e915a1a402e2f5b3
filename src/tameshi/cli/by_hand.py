"""Points and corrections by hand as typed: what the commands footprint and study add share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tameshi.errors import WrongUseError
from tameshi.quantity import parse_quantity

if TYPE_CHECKING:
    from tameshi.footprint import Corrections, Picked

_AUTO, _POINTS = "auto", "points"


@dataclass(frozen=True, slots=True, kw_only=True)
class PointsTyped:
    """What was typed about points picked in a picture."""

    points: tuple[str, ...] = ()
    within: float = 2.0
    placed_within: str | None = None

    def picked(self, reference: str | None) -> Picked | None:
        """Return the points, where any were picked or the reference says so."""
        from tameshi.footprint import Picked, parse_points

        if not self.points and reference != _POINTS:
            return None
        if reference not in (None, _AUTO, _POINTS):
            raise WrongUseError(
                "reference-unclear",
                f"Points were picked, but the reference is said to be {reference!r}.",
                hint="Leave the reference out, or say points.",
            )
        placed = parse_quantity(self.placed_within, "length") if self.placed_within is not None else None
        return Picked(points=parse_points(self.points), within=self.within, placed_within=placed)


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """What was typed to correct a print."""

    leave_out: tuple[str, ...] = ()
    take_in: tuple[str, ...] = ()
    lassos: tuple[str, ...] = ()
    outline_at: float | None = None
    apart: str | None = None

    def __bool__(self) -> bool:
        """Whether anything was typed."""
        return bool(self._places) or self.outline_at is not None or self.apart is not None

    @property
    def _places(self) -> tuple[str, ...]:
        return (*self.leave_out, *self.take_in, *self.lassos)

    def corrections(self) -> Corrections:
        """Return what was typed as corrections."""
        from tameshi.footprint import parse_corrections

        return parse_corrections(
            leave_out=self.leave_out,
            take_in=self.take_in,
            lassos=self.lassos,
            outline_at=self.outline_at,
            apart=parse_quantity(self.apart, "length") if self.apart is not None else None,
        )

    def refuse_several(self, pictures: int) -> None:
        """Refuse places on the paper of one picture for several."""
        if self._places and pictures > 1:
            raise WrongUseError(
                "correction-unclear",
                "Patches and lassos belong to one picture, and several were given.",
                hint="Correct one image at a time; only --outline-at and --apart may go for several.",
            )


def by_hand_of(
    leave_out: list[str] | None,
    take_in: list[str] | None,
    lassos: list[str] | None,
    outline_at: float | None,
    apart: str | None,
) -> ByHand:
    """Return the options as they were typed."""
    return ByHand(
        leave_out=tuple(leave_out or ()),
        take_in=tuple(take_in or ()),
        lassos=tuple(lassos or ()),
        outline_at=outline_at,
        apart=apart,
    )
