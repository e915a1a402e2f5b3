"""How much stronger a material is in a load of milliseconds than in a slow test."""

from __future__ import annotations

from tameshi.reference import row
from tameshi.target.breaking.variables import Between


def rate_factor(key: str, time_to_break: float, strain: float) -> Between:
    """Return between which factors the strength in a short load may lie.

    Parameters
    ----------
    key : str
        A row of the table ``breaking_rates``.
    time_to_break : float
        From first touch to the break. [s]
    strain : float
        At the break.

    Returns
    -------
    Between
        From the least that tests have shown to what the law of the material gives; each with its source in
        the table.
    """
    entry = row("breaking_rates", key)
    low = float(entry["low"])
    return Between(low, max(low, law_factor(key, time_to_break, strain)))


def law_factor(key: str, time_to_break: float, strain: float) -> float:
    """Return what the law of a material gives: strength in a short load over that in a slow test."""
    entry = row("breaking_rates", key)
    if entry["law"] == "madison":
        return stress_level(time_to_break) / stress_level(float(entry["slow"]))
    if entry["law"] == "power":
        return float((time_to_break / entry["slow"]) ** entry["exponent"])
    if entry["law"] == "strain":
        return float((strain / time_to_break / entry["slow"]) ** entry["exponent"])
    return float(entry["high"])


def stress_level(duration: float) -> float:
    """Return the strength of wood that breaks after so long, in per cent of that of a standard test.

    Parameters
    ----------
    duration : float
        [s]

    Notes
    -----
    Source: the Madison curve, 18.3 + 108.4 t^-0.0464.
    """
    entry = row("breaking_rates", "across the grain")
    return float(entry["constant"] + entry["factor"] * duration ** entry["exponent"])
