"""How a strike's force may be shared out over the patches of its print.

One cell gives one force. With one patch it bore all of it; with several the share of each is not measured.
What always holds: no patch bore more than the whole force, and at least one bore the overall mean pressure or
more. Where the patches are bodies of one kind (the knuckles of one fist) and the area law of the technique is
known, each follows A_i = c F_i^n with one c, so that forces share out as A_i^(1/n).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.pressure.area_law import AreaLaw
from tameshi.pressure.course import Range
from tameshi.pressure.pulse import FloatArray
from tameshi.quantity import Quantity, Source, exact, ratio, total
from tameshi.reference import table

_STEP = 1e-5  # relative, for derivatives


@dataclass(frozen=True, slots=True, kw_only=True)
class PatchPressure:
    """What can be said of the mean pressure under one patch at the peak of the force.

    Parameters
    ----------
    index : int
        Of the patch, from 1.
    area : Quantity
        [m2]
    share : Quantity or Range
        Of the force. [1]
    pressure : Quantity or Range
        Mean over the patch. [Pa]
    """

    index: int
    area: Quantity
    share: Quantity | Range
    pressure: Quantity | Range


@dataclass(frozen=True, slots=True, kw_only=True)
class PatchSplit:
    """How the force of a strike may be shared out over its patches.

    Parameters
    ----------
    patches : tuple of PatchPressure
    is_justified : bool
        Whether the shares are given as values; else they are bounds.
    words : str
        What the split rests on, and what it cannot tell.
    """

    patches: tuple[PatchPressure, ...]
    is_justified: bool
    words: str


def split_by_patch(
    force: Quantity, areas: Sequence[Quantity], *, alike: bool = False, law: AreaLaw | None = None
) -> PatchSplit:
    """Return what is known of the pressure under each patch.

    Parameters
    ----------
    force : Quantity
        Peak force. [N]
    areas : sequence of Quantity, at least one
        Contact area of each patch. [m2]
    alike : bool
        Whether the person says that the patches are bodies of one kind and touched together.
    law : AreaLaw or None
        Area against force of the technique.

    Raises
    ------
    WrongUseError
        ``no-print`` without a patch.

    Notes
    -----
    Bodies alike under simple laws of contact: A ~ F^n for each, so F_i ~ A_i^(1/n): n = 2/3 under spheres,
    1/2 under thin layers (K. L. Johnson, Contact Mechanics (1985), chapters 3 and 4, page from memory).
    """
    if not areas:
        raise WrongUseError("no-print", "There is no patch to share the force.", hint="Add its print.")
    if len(areas) == 1:
        only = PatchPressure(index=1, area=areas[0], share=exact(1.0), pressure=ratio(force, areas[0]))
        return PatchSplit(patches=(only,), is_justified=True, words="The one patch bore the whole force.")
    if alike and law is not None and law.exponent.low > 0.0:
        return _by_law(force, areas, law)
    return _alike(force, areas) if alike else _unknown(force, areas)


def _by_law(force: Quantity, areas: Sequence[Quantity], law: AreaLaw) -> PatchSplit:
    shares = _shares(areas, law.exponent)
    found = tuple(
        PatchPressure(index=place, area=area, share=share, pressure=(force * share) / area)
        for place, (area, share) in enumerate(zip(areas, shares, strict=True), start=1)
    )
    words = (
        f"Patches said to be alike share the force as their areas to the power 1/n, n = "
        f"{law.exponent.value:.2f} from {law.count} prints. That they are alike, and touched at one time, "
        f"is not measured."
    )
    return PatchSplit(patches=found, is_justified=True, words=words)


def _shares(areas: Sequence[Quantity], exponent: Quantity) -> list[Quantity]:
    """Return A_i^(1/n) over their sum, with the errors of areas and n."""
    values = np.array([area.value for area in areas])
    at = _weights(values, exponent.value)
    by_area = []
    for place in range(len(areas)):
        step = np.zeros_like(values)
        step[place] = _STEP * values[place]
        slope = _weights(values + step, exponent.value) - _weights(values - step, exponent.value)
        by_area.append(slope / (2.0 * step[place]))
    by_exponent = (_weights(values, exponent.value + _STEP) - _weights(values, exponent.value - _STEP)) / (
        2.0 * _STEP
    )
    shares = []
    for mine, value in enumerate(at):
        parts: dict[Source, float] = {}
        slopes = [(areas[other], by_area[other][mine]) for other in range(len(areas))]
        for quantity, slope in (*slopes, (exponent, by_exponent[mine])):
            for source, part in quantity.parts.items():
                parts[source] = parts.get(source, 0.0) + float(slope) * part
        shares.append(Quantity(float(value), "1", parts))
    return shares


def _weights(areas: FloatArray, exponent: float) -> FloatArray:
    powers = (areas / areas.max()) ** (1.0 / exponent)
    return np.asarray(powers / powers.sum())


def _alike(force: Quantity, areas: Sequence[Quantity]) -> PatchSplit:
    values = np.array([area.value for area in areas])
    exponents = [float(Fraction(one["exponent"])) for one in table("area_laws").rows.values()]
    # an even pressure first; a rigid flat (n = 0) says nothing of how alike bodies share a force
    by_model = [values / values.sum(), *(_weights(values, n) for n in exponents if n > 0.0)]
    why = "which law of contact holds has not been measured"
    return PatchSplit(
        patches=tuple(_ranged(force, areas, by_model, why)),
        is_justified=False,
        words=(
            "Patches said to be alike: shares between those of an even pressure and of round bones under a "
            "thin layer. Repeat prints at several forces would settle which."
        ),
    )


def _unknown(force: Quantity, areas: Sequence[Quantity]) -> PatchSplit:
    none, whole = np.zeros(len(areas)), np.ones(len(areas))
    why = "one cell gives one force, and how patches shared it is not measured"
    overall = ratio(force, total(areas))
    return PatchSplit(
        patches=tuple(_ranged(force, areas, [none, whole], why)),
        is_justified=False,
        words=(
            f"No patch bore more than the whole force, and one at least bore the overall mean of "
            f"{overall.value / 1e3:.0f} kPa or more; patches may also have touched at different times."
        ),
    )


def _ranged(
    force: Quantity, areas: Sequence[Quantity], candidates: Sequence[FloatArray], why: str
) -> list[PatchPressure]:
    found = []
    for place, area in enumerate(areas):
        low = float(min(one[place] for one in candidates))
        high = float(max(one[place] for one in candidates))
        each = ratio(force, area)
        found.append(
            PatchPressure(
                index=place + 1,
                area=area,
                share=Range(low, high, "1", why),
                pressure=Range(low * each.low, high * each.high, "Pa", why),
            )
        )
    return found
