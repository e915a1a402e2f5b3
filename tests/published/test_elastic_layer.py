"""A ball in a thin elastic layer on a rigid base.

K = (1 - nu) E / ((1 + nu)(1 - 2 nu)): Simbody, ElasticFoundationForce.h. F = (pi/4)(K a/h) a^3/R and p0 = 2
p_mean: K. L. Johnson, Contact Mechanics (1985), section 4.3 (value from memory). W1: E = 1 MPa, nu = 0.45, h
= 20 mm, R = 50 mm, indentation 5 mm, worked out from them.
"""

import math

import pytest

from tameshi.errors import WrongUseError
from tameshi.target.contact import Layer, confined_modulus, indent
from tests.published.as_printed import as_printed


def test_a_ball_in_a_layer():
    confined = confined_modulus(1e6, 0.45)
    assert 1e-6 * confined == as_printed("3.79310")
    contact = indent(Layer(modulus=confined, thickness=0.020), 0.050, 0.005)
    assert 1e3 * contact.radius == as_printed("22.3607")
    assert contact.force == as_printed("744.774")
    assert 1e-3 * contact.peak_pressure == as_printed("948.28")
    assert 1e-3 * contact.mean_pressure == as_printed("474.14")
    assert contact.force == pytest.approx(
        math.pi / 4.0 * confined * contact.radius / 0.020 * contact.radius**3 / 0.050
    )


def test_an_open_foam_has_its_own_modulus():
    assert confined_modulus(2e5, 0.0) == 2e5


@pytest.mark.parametrize("poisson", [0.49, 0.4999, 0.5])
def test_a_nearly_incompressible_layer_is_refused(poisson):
    with pytest.raises(WrongUseError) as refused:
        confined_modulus(1e6, poisson)
    assert refused.value.code == "nearly-incompressible"
