"""Lowest natural frequencies of beams and plates.

Source: A. W. Leissa, Vibration of Plates, NASA SP-160 (1969): simply supported circle 4.935 (nu = 0.3),
clamped circle 10.216, clamped square 35.99 (value from memory); circles also as roots of their equation in
Bessel functions. Beams: (pi/2) h sqrt(E / 12 rho) / L^2.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize, special

from tameshi.target.breaking import BEAM_MASS, natural_frequency, period, plates, stiffness


def clamped(x: float) -> float:
    return float(special.j0(x) * special.i1(x) + special.i0(x) * special.j1(x))


def supported(x: float) -> float:
    return float(special.j1(x) / special.j0(x) + special.i1(x) / special.i0(x) - 2.0 * x / (1.0 - 0.3))


def test_circles_are_roots_of_their_equations() -> None:
    assert plates.circle_mode(clamped=True) == pytest.approx(
        optimize.brentq(clamped, 2.5, 3.8) ** 2, rel=1e-4
    )
    assert plates.circle_mode(clamped=False) == pytest.approx(
        optimize.brentq(supported, 2.0, 2.4) ** 2, rel=2e-4
    )


def test_a_clamped_square_is_met_by_its_one_term_estimate() -> None:
    assert plates.rectangle_mode(1.0, clamped=True) == pytest.approx(35.99, rel=5e-3)
    assert plates.rectangle_mode(50.0, clamped=True) == pytest.approx(22.37, rel=1e-3)


def test_a_simply_supported_square() -> None:
    assert plates.rectangle_mode(1.0, clamped=False) == pytest.approx(2.0 * math.pi**2)


@pytest.mark.parametrize(
    ("modulus", "density", "thickness", "span", "printed"),
    # concrete of 40 mm on 36 cm: derived with 25 GPa and 2300 kg/m3
    [(25e9, 2300.0, 0.040, 0.36, 461.0)],
)
def test_a_beam(modulus: float, density: float, thickness: float, span: float, printed: float) -> None:
    assert natural_frequency(modulus, density, thickness, span) == pytest.approx(printed, abs=1.0)


def test_the_mass_on_a_spring_has_the_period_of_the_beam_within_a_per_cent() -> None:
    modulus, density, thickness, span, width = 25e9, 2300.0, 0.040, 0.36, 0.19
    mass = BEAM_MASS * density * thickness * span * width
    found = period(np.array([stiffness(modulus, span, width, thickness)]), np.array([mass]))
    assert found[0] * natural_frequency(modulus, density, thickness, span) == pytest.approx(1.0, abs=0.01)
