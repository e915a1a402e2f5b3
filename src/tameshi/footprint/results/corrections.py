"""What a person corrects by hand in a measured print: kept beside the result, so that it can be repeated.

Places are on the paper, not in the picture and not numbers of patches: they stay true when the
same picture is measured again by a better version.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from tameshi.errors import WrongUseError
from tameshi.footprint.geometry.simple import is_simple

Place = tuple[float, float]

HALF_WAY = 0.5
_LEAST, _MOST = 0.2, 0.8  # of the way from paper to ink: beyond, paper's grain or the ink's own is outlined
_FEWEST_CORNERS = 3
_MOST_CORNERS = 2000
_NEAREST, _WIDEST = 0.002, 1.0  # metres between prints
_FARTHEST = 5.0  # metres: no paper under a print is larger
_MM = 1e3
_KEYS = ("leave_out", "take_in", "lassos", "outline_at", "apart")


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrections:
    """What is done to a print by hand; nothing unless said.

    Parameters
    ----------
    leave_out : tuple of (float, float)
        A place inside each patch that is no contact, on the paper, in metres.
    take_in : tuple of (float, float)
        A place inside each piece of ink that was set aside and is contact, in metres.
    lassos : tuple of tuple of (float, float)
        Closed lines by their corners, in metres; where there are any, only ink inside one counts.
    outline_at : float
        Where the outline runs: share of the way from paper to ink, half way unless moved.
    apart : float or None
        Patches so far from each other, edge to edge, are prints of their own, in metres; None leaves it as
        the settings say.

    Raises
    ------
    WrongUseError
        ``wrong-distance``, ``wrong-lasso``, ``wrong-outline``, ``wrong-place``.
    """

    leave_out: tuple[Place, ...] = ()
    take_in: tuple[Place, ...] = ()
    lassos: tuple[tuple[Place, ...], ...] = ()
    outline_at: float = HALF_WAY
    apart: float | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be meant."""
        for place in (*self.leave_out, *self.take_in, *(corner for lasso in self.lassos for corner in lasso)):
            _refuse_nowhere(place)
        for lasso in self.lassos:
            _refuse_no_lasso(lasso)
        if not _LEAST <= self.outline_at <= _MOST:
            raise WrongUseError(
                "wrong-outline",
                f"The outline cannot run at {self.outline_at:g} of the way from paper to ink.",
                hint=f"Give a share from {_LEAST:g} to {_MOST:g}; half way is {HALF_WAY:g}.",
            )
        if self.apart is not None and not _NEAREST <= self.apart <= _WIDEST:
            raise WrongUseError(
                "wrong-distance",
                f"Prints cannot be told apart by {_MM * self.apart:g} mm between them.",
                hint=f"Give {_MM * _NEAREST:g} mm to {_MM * _WIDEST:g} mm.",
            )

    def __bool__(self) -> bool:
        """Whether anything is corrected."""
        return bool(self.leave_out or self.take_in or self.lassos or self.is_moved or self.apart)

    @property
    def is_moved(self) -> bool:
        """Whether the outline runs elsewhere than half way."""
        return self.outline_at != HALF_WAY

    def words(self) -> tuple[str, ...]:
        """Return each kind of correction in words."""
        said = []
        if self.leave_out:
            said.append(
                f"{_count(len(self.leave_out), 'patch', 'patches')} left out (at {_at(self.leave_out)})"
            )
        if self.take_in:
            pieces = _count(len(self.take_in), "piece", "pieces")
            said.append(f"{pieces} of ink that had been set aside taken in (at {_at(self.take_in)})")
        if self.lassos:
            corners = " and ".join(str(len(lasso)) for lasso in self.lassos)
            said.append(
                f"only ink inside {_count(len(self.lassos), 'lasso', 'lassos')} of {corners} corners counted"
            )
        if self.is_moved:
            share = 100.0 * self.outline_at
            said.append(f"outline moved from half way to {share:.3g} % of the way from paper to ink")
        if self.apart is not None:
            said.append(f"patches {_MM * self.apart:g} mm apart taken for prints of their own")
        return tuple(said)

    def as_dict(self) -> dict[str, Any]:
        """Return the corrections for storing, in metres; :func:`corrections_from` reads them back."""
        return {
            "leave_out": [list(place) for place in self.leave_out],
            "take_in": [list(place) for place in self.take_in],
            "lassos": [[list(corner) for corner in lasso] for lasso in self.lassos],
            "outline_at": self.outline_at,
            # named only where it is said: what was corrected without it keeps its record
            **({} if self.apart is None else {"apart": self.apart}),
        }


def corrections_from(kept: Mapping[str, Any]) -> Corrections:
    """Return corrections as :meth:`Corrections.as_dict` wrote them; what is missing was not corrected.

    Raises
    ------
    WrongUseError
        ``wrong-corrections`` where it is no such record, and what :class:`Corrections` refuses.
    """
    unknown = set(kept) - set(_KEYS)
    if unknown:
        raise _unreadable(f"{min(unknown)!r} is no correction")
    try:
        return Corrections(
            leave_out=_places(kept.get("leave_out", ())),
            take_in=_places(kept.get("take_in", ())),
            lassos=tuple(_places(lasso) for lasso in kept.get("lassos", ())),
            outline_at=float(kept.get("outline_at", HALF_WAY)),
            apart=float(kept["apart"]) if kept.get("apart") is not None else None,
        )
    except (TypeError, ValueError) as error:
        raise _unreadable(str(error)) from error


def _places(kept: Iterable[Any]) -> tuple[Place, ...]:
    return tuple((float(x), float(y)) for x, y in kept)


def _unreadable(why: str) -> WrongUseError:
    return WrongUseError(
        "wrong-corrections",
        f"The corrections kept with the print cannot be read: {why}.",
        hint="Say again what is to be corrected.",
    )


def _refuse_nowhere(place: Place) -> None:
    if all(math.isfinite(way) and abs(way) <= _FARTHEST for way in place):
        return
    raise WrongUseError(
        "wrong-place",
        f"No paper reaches to x = {_MM * place[0]:g} mm, y = {_MM * place[1]:g} mm.",
        hint="Give places in millimetres on the paper, as the result and the overlay show them.",
    )


def _refuse_no_lasso(lasso: tuple[Place, ...]) -> None:
    where = (
        f"around x = {_MM * lasso[0][0]:.0f} mm, y = {_MM * lasso[0][1]:.0f} mm"
        if lasso
        else "without corners"
    )
    if not _FEWEST_CORNERS <= len(lasso) <= _MOST_CORNERS:
        raise WrongUseError(
            "wrong-lasso",
            f"The lasso {where} has {len(lasso)} corners.",
            hint=f"Give {_FEWEST_CORNERS} to {_MOST_CORNERS}; the last is joined to the first.",
        )
    if not is_simple(lasso):
        raise WrongUseError(
            "wrong-lasso",
            f"The lasso {where} crosses or touches itself, or encloses nothing: it has no one inside.",
            hint="Give its corners in order around what is meant, each once; use two lassos for two places.",
        )


def _at(places: tuple[Place, ...]) -> str:
    return ", ".join(f"x = {_MM * x:.1f} mm y = {_MM * y:.1f} mm" for x, y in places)


def _count(number: int, one: str, several: str) -> str:
    return f"{number} {one if number == 1 else several}"
