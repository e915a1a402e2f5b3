"""Contact of rounded elastic bodies, against published cases.

H1: two equal spheres, R = 50 mm, E = 20 000 MPa, nu = 0.3, pressed together by 4 mm: code_aster, validation
manual V6.04.104 (SSNV104), p0 = 2798.3 MPa and a = 10 mm; the same values in other programs' validation. H2:
sphere of 8 mm, E = 1000 MPa, nu = 0.3, on a rigid plane under 60 pi N: a = 1.010 mm, an exercise in finite
elements (tutorsglobe, question 51707067). H3: steel ball of 50 mm diameter, E = 200 GPa, nu = 0.3, under 500
N, on a flat and on an equal ball: a textbook exercise (statement seen, coursehero 8421357); its answers are
worked out here from the formulas of the theory.
"""

import math

import pytest

from tameshi.errors import WrongUseError
from tameshi.target.contact import Body, press, squeeze
from tests.published.as_printed import as_printed

STEEL = Body(modulus=200e9, poisson=0.3, radius=0.025)


def test_two_spheres_of_ssnv104():
    sphere = Body(modulus=20e9, poisson=0.3, radius=0.05)
    contact = squeeze(sphere, sphere, 0.004)
    assert 1e-6 * contact.peak_pressure == as_printed("2798.3")
    assert 1e3 * contact.radius == as_printed("10")
    assert contact.force == as_printed("586080.6")


def test_a_sphere_on_a_rigid_plane():
    rigid = Body(modulus=math.inf, poisson=0.3)
    contact = press(Body(modulus=1e9, poisson=0.3, radius=0.008), rigid, 60.0 * math.pi)
    # printed as 1.010 by a finite element model; the formula gives 1.00964
    assert 1e3 * contact.radius == as_printed("1.010")
    assert 1e3 * contact.approach == as_printed("0.127420")
    assert 1e-6 * contact.peak_pressure == as_printed("88.290")


@pytest.mark.parametrize(
    ("other", "radius", "pressure", "approach"),
    [
        (Body(modulus=200e9, poisson=0.3), "0.44022", "1231.9", "7.752"),
        (STEEL, "0.34940", "1955.5", "9.767"),
    ],
    ids=["flat", "ball"],
)
def test_a_steel_ball_under_500_newtons(other, radius, pressure, approach):
    contact = press(STEEL, other, 500.0)
    assert 1e3 * contact.radius == as_printed(radius)
    assert 1e-6 * contact.peak_pressure == as_printed(pressure)
    assert 1e6 * contact.approach == as_printed(approach)


def test_two_flats_have_no_point_of_contact():
    flat = Body(modulus=1e9, poisson=0.3)
    with pytest.raises(WrongUseError, match="flat"):
        press(flat, flat, 1.0)
