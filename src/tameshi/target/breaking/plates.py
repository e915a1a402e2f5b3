"""Bending of thin plates held on all sides: rectangles by their series, circles in closed form.

Rectangles lie on simple supports (Navier's and Levy's series) or are clamped (published
coefficients). ``aspect`` is the long side over the short one, a is the short side, D the flexural
rigidity E t^3 / (12 (1 - nu^2)).
"""

from __future__ import annotations

import math

import numpy as np

from tameshi.reference import table

_TERMS = np.arange(1, 400, 2, dtype=np.float64)
_STEEPEST = 300.0  # beyond it the hyperbolic functions overflow, and their terms are nought
NU = 0.3
_THIN_PATCH, _SQUARE, _SHORT = 0.5, 1.6, 0.675


def rigidity(modulus: float, thickness: float, nu: float = NU) -> float:
    """Return the flexural rigidity of a plate. [N m]"""
    return modulus * thickness**3 / (12.0 * (1.0 - nu * nu))


def uniform_deflection(aspect: float) -> float:
    """Return alpha of w = alpha q a^4 / D in the middle of a simply supported rectangle.

    Notes
    -----
    Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, article 30 (Levy's series).
    """
    alpha, sign, tanh, sech = _levy(aspect)
    terms = sign / _TERMS**5 * (1.0 - 0.5 * (alpha * tanh + 2.0) * sech)
    return float(4.0 / math.pi**5 * terms.sum())


def uniform_moments(aspect: float, nu: float = NU) -> tuple[float, float]:
    """Return beta of M = beta q a^2 in the middle of a simply supported rectangle.

    Returns
    -------
    (float, float)
        Across the short side and along the long one.

    Notes
    -----
    Source: as :func:`uniform_deflection`, differentiated twice.
    """
    alpha, sign, tanh, sech = _levy(aspect)
    across = 1.0 - 0.5 * (alpha * tanh + 2.0) * sech
    along = 0.5 * alpha * tanh * sech
    weight = 4.0 / math.pi**3 * sign / _TERMS**3
    return float((weight * (across + nu * along)).sum()), float((weight * (nu * across + along)).sum())


def point_deflection(aspect: float) -> float:
    """Return alpha of w = alpha P a^2 / D under a load in the middle of a simply supported rectangle.

    Notes
    -----
    Source: Timoshenko and Woinowsky-Krieger, article 34.
    """
    alpha, _, tanh, sech = _levy(aspect)
    terms = (tanh - alpha * sech * sech) / _TERMS**3
    return float(terms.sum() / (2.0 * math.pi**3))


def equivalent_radius(radius: float, thickness: float) -> float:
    """Return the radius that a small loaded circle counts with in thin-plate formulas. [m]

    Notes
    -----
    Source: Roark, table 11.4: sqrt(1.6 r^2 + t^2) - 0.675 t below half the thickness, r itself above.
    The two meet with a step of 1.6 %.
    """
    if radius >= _THIN_PATCH * thickness:
        return radius
    return math.sqrt(_SQUARE * radius * radius + thickness * thickness) - _SHORT * thickness


def rectangle_stress(force: float, short: float, aspect: float, thickness: float, radius: float) -> float:
    """Return the greatest stress of a simply supported rectangle under a small circle in its middle. [Pa]

    Parameters
    ----------
    force : float
        [N]
    short : float
        Short side. [m]
    aspect : float
        Long side over short side.
    thickness, radius : float
        Of the plate; of the loaded circle. [m]

    Notes
    -----
    Source: Roark, table 11.4, case 1b, for nu = 0.3.
    """
    local = math.log(2.0 * short / (math.pi * equivalent_radius(radius, thickness)))
    beta = _tabled("roark_plates", "point_beta", aspect)
    return 3.0 * force / (2.0 * math.pi * thickness**2) * ((1.0 + NU) * local + beta)


def clamped_rectangle_stress(
    force: float, short: float, aspect: float, thickness: float, radius: float
) -> tuple[float, float]:
    """Return the stress in the middle and at the edge of a clamped rectangle under a small circle. [Pa]

    Notes
    -----
    Source: Roark, table 11.4, case 8b, for nu = 0.3. The edge is in tension on the struck face, the
    middle on the other.
    """
    local = math.log(2.0 * short / (math.pi * equivalent_radius(radius, thickness)))
    beta = _tabled("roark_clamped_plates", "beta1", aspect)
    middle = 3.0 * force / (2.0 * math.pi * thickness**2) * ((1.0 + NU) * local + beta)
    return middle, _tabled("roark_clamped_plates", "beta2", aspect) * force / thickness**2


def clamped_point_deflection(aspect: float) -> float:
    """Return alpha of w = alpha P a^2 / D under a load in the middle of a clamped rectangle.

    Notes
    -----
    Source: Roark, table 11.4, case 8b; its coefficient over 12 (1 - nu^2).
    """
    return _tabled("roark_clamped_plates", "alpha", aspect) / (12.0 * (1.0 - NU * NU))


def circle_point_deflection(*, clamped: bool, nu: float = NU) -> float:
    """Return alpha of w = alpha P R^2 / D under a load in the middle of a circle of radius R.

    Notes
    -----
    Source: Roark, table 11.2, cases 16 and 17.
    """
    return (1.0 if clamped else (3.0 + nu) / (1.0 + nu)) / (16.0 * math.pi)


def circle_uniform_deflection(*, clamped: bool, nu: float = NU) -> float:
    """Return alpha of w = alpha q R^4 / D in the middle of a circle under a uniform load."""
    return (1.0 if clamped else (5.0 + nu) / (1.0 + nu)) / 64.0


def circle_moments(
    force: float, plate_radius: float, thickness: float, radius: float, *, clamped: bool, nu: float = NU
) -> tuple[float, float]:
    """Return the moments per width in the middle and at the edge of a circle under a small circle. [N]

    Notes
    -----
    Source: Roark, table 11.2, cases 16 (simple support, no moment at the edge) and 17 (clamped).
    """
    local = (1.0 + nu) * math.log(plate_radius / equivalent_radius(radius, thickness))
    unit = force / (4.0 * math.pi)
    return (unit * local, unit) if clamped else (unit * (local + 1.0), 0.0)


def circle_uniform_moments(
    load: float, plate_radius: float, *, clamped: bool, nu: float = NU
) -> tuple[float, float]:
    """Return the moments per width in the middle and at the edge of a circle under a uniform load. [N]"""
    unit = load * plate_radius**2 / 16.0
    return (unit * (1.0 + nu), 2.0 * unit) if clamped else (unit * (3.0 + nu), 0.0)


def moment_stress(moment: float, thickness: float) -> float:
    """Return the bending stress at the face of a plate, 6 M / t^2. [Pa]"""
    return 6.0 * moment / thickness**2


def rectangle_mode(aspect: float, *, clamped: bool) -> float:
    """Return lambda of omega = lambda sqrt(D / (rho t)) / a^2, the lowest mode of a rectangle.

    Notes
    -----
    Simple supports: exact, pi^2 (1 + 1 / aspect^2). Clamped: a one-term estimate, 0.3 % high for a square
    (source of the coefficients in the table ``plate_modes``).
    """
    slender = 1.0 / (aspect * aspect)
    if not clamped:
        return math.pi**2 * (1.0 + slender)
    mode = table("plate_modes").rows["clamped rectangle"]
    strip, mixed = float(mode["strip"]), float(mode["mixed"])
    return strip * math.sqrt(1.0 + mixed * slender + slender * slender)


def circle_mode(*, clamped: bool) -> float:
    """Return lambda of omega = lambda sqrt(D / (rho t)) / R^2, the lowest mode of a circle (nu = 0.3)."""
    return float(table("plate_modes").rows["clamped circle" if clamped else "supported circle"]["value"])


def _levy(aspect: float) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    alpha = 0.5 * math.pi * aspect * _TERMS
    sign = np.where(_TERMS % 4 == 1, 1.0, -1.0)
    sech = np.where(alpha < _STEEPEST, 1.0 / np.cosh(np.minimum(alpha, _STEEPEST)), 0.0)
    return alpha, sign, np.tanh(alpha), sech


def _tabled(name: str, column: str, aspect: float) -> float:
    """Return a coefficient between the rows of a table, straight in short side over long side."""
    rows = [(1.0 / float(entry["aspect"]), float(entry[column])) for entry in table(name).rows.values()]
    slender, values = zip(*sorted(rows), strict=True)
    return float(np.interp(1.0 / aspect, slender, values))
