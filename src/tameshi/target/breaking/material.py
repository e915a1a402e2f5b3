"""From what a target is made of to its strength, stiffness and density, each with its scatter.

Own tests go before tables. Strength along the grain is never taken for a board that splits along it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.quantity import parse_quantity
from tameshi.reference import row, table
from tameshi.target.breaking import wood
from tameshi.target.breaking.bending import rupture_of_strength
from tameshi.target.breaking.statics import stress_per_newton
from tameshi.target.breaking.target import Target, Wood
from tameshi.target.breaking.variables import Between, Lognormal, Variable, Weibull

_FAR_FROM_STANDARD = 0.03  # of moisture
_MIDDLE_OF_90 = 2.0 * 1.645  # standard deviations between the ends that hold nine in ten


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a target is made of, in a slow test.

    Parameters
    ----------
    strength : Variable
        Bending strength of the material as such. [Pa]
    piece : Variable
        Strength of one piece over that, median one.
    modulus, density : Variable
        [Pa], [kg/m3]
    rate : str
        Row of the table ``breaking_rates``.
    sources : tuple of str
        Keys of the sources it rests on.
    flags : tuple of Flag
    """

    strength: Variable
    piece: Variable
    modulus: Variable
    density: Variable
    rate: str
    sources: tuple[str, ...]
    flags: tuple[Flag, ...]


def material_of(target: Target) -> Material:
    """Return what is known of a target's material.

    Raises
    ------
    UnmeasurableError
        ``glass``.
    WrongUseError
        ``unknown-material``, ``strength-unknown``, ``strength-along-grain``, ``strength-across-grain``,
        ``strength-direction-missing``, ``wrong-moisture``.
    """
    refuse_by_name(target.material)
    if target.wood is not None:
        return _of_wood(target, target.wood)
    entry = table("breaking_materials").rows.get(target.material.lower().strip())
    if entry is None:
        names = ", ".join(table("breaking_materials").rows)
        raise WrongUseError(
            "unknown-material",
            f"There is no material {target.material!r} for a {target.kind}.",
            hint=f"There are: {names}; for a board give its species.",
        )
    return _of_table(target, entry)


def refuse_by_name(material: str) -> None:
    """Refuse what nobody is helped to break.

    Raises
    ------
    UnmeasurableError
        With the key of its row in ``breaking_refused`` as code.
    """
    said = material.lower()
    for key, entry in table("breaking_refused").rows.items():
        if any(word in said for word in entry["words"]):
            raise UnmeasurableError(
                str(key), f"{material!r} is refused. {entry['why']}", hint=str(entry["instead"])
            )


def _of_table(target: Target, entry: Mapping[str, Any]) -> Material:
    flags = []
    strength, piece = _tested_strength(target), Weibull(1.0, float(entry["weibull"]))
    if strength is None:
        strength = _tabled_strength(target, entry)
        if entry["is"] == "least":
            flags.append(
                Flag(
                    "group-minimum",
                    f"The table gives only the least bending strength that {target.material} has to have, "
                    f"{1e-6 * _least(target, entry):.3g} MPa; it was taken to be about a quarter stronger.",
                )
            )
    return Material(
        strength=strength,
        piece=_own_scatter(target) or piece,
        modulus=_own_modulus(target)
        or Lognormal(parse_quantity(entry["modulus"], "pressure"), float(entry["modulus_spread"])),
        density=Lognormal(target.tested.density or parse_quantity(entry["density"], "density"), 0.0),
        rate=str(entry["rate"]),
        sources=(str(entry["source"]), str(row("breaking_rates", entry["rate"])["source"])),
        flags=tuple(flags),
    )


def _least(target: Target, entry: Mapping[str, Any]) -> float:
    thin = "thin_below" in entry and target.size.thickness < parse_quantity(entry["thin_below"], "length")
    return parse_quantity(entry["thin_strength" if thin else "strength"], "pressure")


def _tabled_strength(target: Target, entry: Mapping[str, Any]) -> Lognormal:
    strength = _least(target, entry)
    if entry["is"] == "typical":
        return Lognormal(strength, float(entry["spread"]))
    over = row("breaking_choices", "least of a standard")
    return Lognormal(strength * float(over["value"]), float(over["spread"]))


def _of_wood(target: Target, cut: Wood) -> Material:
    wood.refuse_moisture(cut.moisture)
    entry = wood.species(target.material)
    if entry is None:
        raise WrongUseError(
            "unknown-material",
            f"There is no species {target.material!r}.",
            hint=f"There are: {', '.join(table('wood_species').rows)}.",
        )
    _refuse_wrong_direction(target, cut, entry)
    strength = _tested_strength(target) or _strength_of_wood(target, cut, entry)
    scatter = wood.scatter("across" if cut.grain == "across" else "bending")
    rate = f"{cut.grain} the grain"
    return Material(
        strength=strength,
        piece=_own_scatter(target) or Lognormal(1.0, _log_spread(scatter)),
        modulus=_own_modulus(target) or _modulus_of_wood(target, cut, entry),
        density=Lognormal(
            target.tested.density or wood.density_of(entry, cut.moisture),
            0.0 if target.tested.density else _log_spread(wood.scatter("gravity")),
        ),
        rate=rate,
        sources=(
            str(entry["source"]), "wood-handbook-scatter", str(row("breaking_rates", rate)["source"]), "ours",
        ),
        flags=tuple(_wood_flags(target, cut, entry)),
    )  # fmt: skip


def _strength_of_wood(target: Target, cut: Wood, entry: Mapping[str, Any]) -> Variable:
    if cut.grain == "along":
        return Lognormal(wood.strength_along(entry, cut.moisture), 0.0)
    tension = wood.stress(entry, "across")
    if tension is None:
        raise WrongUseError(
            "strength-unknown",
            f"No strength across the grain is known here for {target.material}.",
            hint="Break one slowly, board on two edges, and give its [tested] breaking_force.",
        )
    factor = row("breaking_choices", "across over tension")
    return Between(tension * float(factor["low"]), tension * float(factor["high"]))


def _modulus_of_wood(target: Target, cut: Wood, entry: Mapping[str, Any]) -> Variable:
    scatter = _log_spread(wood.scatter("modulus"))
    if cut.grain == "along":
        return Lognormal(wood.modulus_along(entry, cut.moisture), scatter)
    ends = wood.modulus_across(entry, cut.rings, cut.moisture)
    if ends is None:
        raise WrongUseError(
            "stiffness-unknown",
            f"No stiffness across the grain is known here for {target.material}.",
            hint="Give [tested] elastic_modulus of the board as it will be struck.",
        )
    between = math.log(ends[1] / ends[0]) / _MIDDLE_OF_90
    return Lognormal(math.sqrt(ends[0] * ends[1]), math.hypot(scatter, between))


def _refuse_wrong_direction(target: Target, cut: Wood, entry: Mapping[str, Any]) -> None:
    """Refuse a strength that was tested the other way round: they differ by a factor of fifteen and more."""
    tested = target.tested
    if tested.modulus_of_rupture is None:
        return
    if tested.direction is None:
        raise WrongUseError(
            "strength-direction-missing",
            "[tested] modulus_of_rupture says nothing of the grain: did the test bend the wood along its "
            "grain, "
            "as handbooks do, or across it, as breaking boards are?",
            hint='Add direction = "along" or direction = "across" to [tested].',
        )
    along = wood.stress(entry, "bending") or math.inf
    looks_along = tested.modulus_of_rupture > along * float(row("breaking_choices", "strength hint")["value"])
    if cut.grain == "across" and (tested.direction == "along" or looks_along):
        raise WrongUseError(
            "strength-along-grain",
            f"{1e-6 * tested.modulus_of_rupture:.3g} MPa is a bending strength along the grain, and this "
            "board "
            "splits along its grain: the force would come out some twenty times too high.",
            hint="Give the strength across the grain, or leave it out and take the table's.",
        )
    if cut.grain == "along" and tested.direction == "across":
        raise WrongUseError(
            "strength-across-grain",
            "The strength given is one across the grain, and in this board the fibres have to break: the "
            "force "
            "would come out many times too low.",
            hint="Give the strength along the grain, or leave it out and take the table's.",
        )


def _tested_strength(target: Target) -> Lognormal | None:
    """Return the strength that the person's own tests give; no more than their scatter is in doubt."""
    tested = target.tested
    if tested.modulus_of_rupture is not None:
        return Lognormal(tested.modulus_of_rupture, 0.0)
    if tested.breaking_strength is not None:
        return Lognormal(rupture_of_strength(tested.breaking_strength, target.size.thickness), 0.0)
    if tested.breaking_force is not None:
        return Lognormal(tested.breaking_force * stress_per_newton(target), 0.0)
    return None


def _own_scatter(target: Target) -> Lognormal | None:
    scatter = target.tested.scatter
    return None if scatter is None else Lognormal(1.0, _log_spread(scatter))


def _own_modulus(target: Target) -> Lognormal | None:
    modulus = target.tested.elastic_modulus
    return None if modulus is None else Lognormal(modulus, 0.0)


def _wood_flags(target: Target, cut: Wood, entry: Mapping[str, Any]) -> list[Flag]:
    flags = []
    standard = 0.01 * float(row("breaking_choices", "moisture")["value"])
    from_table = not target.tested.strengths
    if cut.grain == "across" and from_table:
        moisture = cut.moisture
        if moisture is not None and abs(moisture - standard) > _FAR_FROM_STANDARD:
            flags.append(
                Flag(
                    "moisture-not-counted",
                    f"At {100.0 * moisture:.3g} % of moisture the strength across the grain may differ from "
                    "that at "
                    f"{100.0 * standard:g} %, which was taken: no formula for it was found.",
                )
            )
    if cut.grain == "across" and "ratios_of" in entry and target.tested.elastic_modulus is None:
        flags.append(
            Flag(
                "related-species",
                f"How stiff {target.material} is across the grain was taken from {entry['ratios_of']}.",
            )
        )
    return flags


def _log_spread(scatter: float) -> float:
    """Return the standard deviation of the logarithm that goes with a coefficient of variation."""
    return math.sqrt(math.log1p(scatter * scatter))
