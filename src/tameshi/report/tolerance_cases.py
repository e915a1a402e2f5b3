"""The strikes of a study beside published tolerance: of each technique what is typical, and the greatest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.quantity import Quantity
from tameshi.report.carried import Carried
from tameshi.report.techniques import Group, seen_of
from tameshi.report.typical import typical, typical_contact, typical_pressure
from tameshi.tolerance import Case, surfaces_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TechniqueCases:
    """A technique beside published tolerance.

    Parameters
    ----------
    name : str
        As shown.
    technique : str
    typical : Case or None
        The mean of its strikes; None where no peak force was measured.
    greatest : Case or None
        Its strike with the highest peak; None where it has but one, which is then the typical one.
    """

    name: str
    technique: str
    typical: Case | None
    greatest: Case | None

    @property
    def cases(self) -> tuple[Case, ...]:
        """Those that there are."""
        return tuple(case for case in (self.typical, self.greatest) if case is not None)


def cases_of(groups: Sequence[Group], carried: Sequence[Carried] = ()) -> tuple[TechniqueCases, ...]:
    """Return every technique that was struck.

    Parameters
    ----------
    groups : sequence of Group
        As :func:`tameshi.report.techniques.groups_of` gives them.
    carried : sequence of Carried
        What of them was carried over to parts of the body, for values that need a model.
    """
    with_pad = len({group.pad for group in groups if group.forces}) > 1
    return tuple(_cases(group, group.name(with_pad=with_pad), carried) for group in groups if group.forces)


def _cases(group: Group, name: str, carried: Sequence[Carried]) -> TechniqueCases:
    own = [one for one in carried if (one.technique, one.pad) == (group.technique, group.pad)]
    surfaces = surfaces_of(group.technique)
    area = typical_contact(group.areas)
    known = [one for one in group.forces if isinstance(one, Quantity)]
    mean = typical(known, "scatter of strikes")
    typical_case = None
    if mean is not None:
        durations = [one for one in group.durations if isinstance(one, Quantity)]
        typical_case = Case(
            label=f"{name}, typical" if len(group.forces) > 1 else f"{name}, its one strike",
            force=mean,
            area=area,
            duration=typical(durations, "scatter of strikes"),
            mean_pressure=typical_pressure(mean, area),
            pad=group.pad,
            surfaces=surfaces,
            modelled=tuple(found for one in own for found in one.modelled(one.typical)),
        )
    greatest = group.greatest
    duration = group.durations[greatest]
    greatest_case = Case(
        label=f"{name}, greatest",
        force=group.forces[greatest],
        area=area,
        duration=duration if isinstance(duration, Quantity) else None,
        mean_pressure=group.pressures[greatest],
        pad=group.pad,
        surfaces=surfaces,
        modelled=tuple(found for one in own for found in one.modelled(one.greatest or one.typical)),
    )
    alone = len(group.forces) == 1 and typical_case is not None
    return TechniqueCases(
        name=name,
        technique=group.technique,
        typical=typical_case,
        greatest=None if alone or seen_of(group.forces[greatest]) <= 0.0 else greatest_case,
    )
