"""GUM example H.2, resistance and reactance measured together, through correlated quantities.

Source: JCGM 100:2008, H.2, tables H.2 and H.4: R 127.732 (0.071), X 219.847 (0.295), Z 254.260 (0.236) ohm;
r(R,X) -0.588, r(R,Z) -0.485, r(X,Z) 0.993.
"""

import math

import pytest

from tameshi.quantity import combine, correlation, from_simultaneous_readings
from tests.published.as_printed import as_printed

VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
AMPERES = (19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3)
RADIANS = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


@pytest.fixture
def impedance():
    readings = list(zip(VOLTS, AMPERES, RADIANS, strict=True))
    inputs = from_simultaneous_readings(readings, ("V", "A", "1"), key="h2", name="simultaneous observations")
    resistance = combine(lambda v, i, p: v / i * math.cos(p), *inputs, unit="ohm")
    reactance = combine(lambda v, i, p: v / i * math.sin(p), *inputs, unit="ohm")
    magnitude = inputs[0] / inputs[1]
    return {"R": resistance, "X": reactance, "Z": magnitude}


@pytest.mark.parametrize(
    ("name", "value", "u"), [("R", "127.732", "0.071"), ("X", "219.847", "0.295"), ("Z", "254.260", "0.236")]
)
def test_value_and_uncertainty(impedance, name, value, u):
    # the printed 0.295 comes of rounded inputs; unrounded ones give 0.29558 (derived)
    assert impedance[name].value == as_printed(value)
    assert impedance[name].u == as_printed(u, slack=0.0002)


@pytest.mark.parametrize(
    ("one", "other", "printed"), [("R", "X", "-0.588"), ("R", "Z", "-0.485"), ("X", "Z", "0.993")]
)
def test_correlation(impedance, one, other, printed):
    assert correlation(impedance[one], impedance[other]) == as_printed(printed)


def test_one_set_of_observations_counts_its_degrees_of_freedom_once(impedance):
    assert impedance["Z"].dof == pytest.approx(4.0)


def test_unit_of_a_voltage_over_a_current_is_the_ohm(impedance):
    assert impedance["Z"].unit == "ohm"
