"""General reference libraries as a second opinion: uncertainties, pint, scipy.

Source: uncertainties (E. O. Lebigot), Pint (H. E. Grecco and others), SciPy: other people's code for the same
definitions.
"""

import math

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import butter, filtfilt
from scipy.stats import t as student
from uncertainties import covariance_matrix, ufloat
from uncertainties.umath import sqrt

from tameshi.force import class_coefficients, filter_class
from tameshi.quantity import Quantity, Source, combine, correlation, coverage_factor, parse_unit

values = st.floats(0.5, 50.0)
shares = st.floats(1e-4, 0.1)


def quantities(numbers, relative):
    sources = [Source(f"s{index}", f"source {index}") for index in range(len(numbers))]
    return [
        Quantity(number, "1", {source: number * share})
        for number, share, source in zip(numbers, relative, sources, strict=True)
    ]


@settings(max_examples=60, deadline=None)
@given(st.tuples(values, values, values), st.tuples(shares, shares, shares))
def test_arithmetic_agrees_with_uncertainties(numbers, relative):
    a, b, c = quantities(numbers, relative)
    x, y, z = (ufloat(number, number * share) for number, share in zip(numbers, relative, strict=True))
    for ours, theirs in (
        (a * b / c, x * y / z),
        (a * a - b * c, x * x - y * z),
        ((a + b) / (a + c), (x + y) / (x + z)),
        (-a + 2.0 * b, -x + 2.0 * y),
        (1.0 / a + b, 1.0 / x + y),
    ):
        assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-12)
        assert ours.u == pytest.approx(theirs.std_dev, rel=1e-9, abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(st.tuples(values, values), st.tuples(shares, shares))
def test_propagation_through_a_function_agrees_with_uncertainties(numbers, relative):
    a, b = quantities(numbers, relative)
    x, y = (ufloat(number, number * share) for number, share in zip(numbers, relative, strict=True))
    ours = combine(lambda p, q: math.sqrt(p * p + q), a, b, unit="1")
    assert ours.u == pytest.approx(sqrt(x * x + y).std_dev, rel=1e-6)


def test_correlation_agrees_with_uncertainties():
    a, b, _ = quantities((3.0, 4.0, 1.0), (0.02, 0.05, 0.1))
    x, y = ufloat(3.0, 0.06), ufloat(4.0, 0.2)
    matrix = covariance_matrix([x + y, x * y])
    theirs = matrix[0][1] / math.sqrt(matrix[0][0] * matrix[1][1])
    assert correlation(a + b, a * b) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("kN", "kilonewton"),
        ("lbf", "force_pound"),
        ("kgf", "force_kilogram"),
        ("psi", "pound_force_per_square_inch"),
        ("mm2", "millimeter**2"),
        ("in2", "inch**2"),
        ("ft lbf", "foot * force_pound"),
        ("kN/V", "kilonewton/volt"),
        ("mV/V", "millivolt/volt"),
        ("lbf s", "force_pound * second"),
        ("N/cm2", "newton/centimeter**2"),
        ("µs", "microsecond"),
        ("mph", "mile/hour"),
        ("mmHg", "mmHg"),
        ("kHz", "kilohertz"),
        ("deg", "degree"),
    ],
)
def test_unit_factor_agrees_with_pint(ours, theirs):
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    expected = registry.Quantity(1.0, theirs).to_base_units().magnitude
    # pint counts mass in kilograms as we do, so base units are coherent SI
    assert parse_unit(ours).factor == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("dof", [1, 2, 5, 9, 16, 30, 120])
@pytest.mark.parametrize("level", [0.68, 0.95, 0.99])
def test_coverage_factor_agrees_with_scipy(dof, level):
    assert coverage_factor(dof, level) == pytest.approx(student.ppf(0.5 + 0.5 * level, dof), rel=1e-10)


@pytest.mark.parametrize("channel_class", [60, 180, 600, 1000])
def test_channel_class_is_a_butterworth_run_both_ways(channel_class):
    rate = 20_000.0
    numerator, denominator = butter(2, 2.0775 * channel_class, fs=rate)
    c = class_coefficients(channel_class, rate)
    assert (c.a0, c.a1, c.a2) == pytest.approx(tuple(numerator), rel=1e-10)
    assert (1.0, -c.b1, -c.b2) == pytest.approx(tuple(denominator), rel=1e-10)
    samples = np.random.default_rng(1).normal(size=6000)
    assert filter_class(samples, rate, channel_class)[2500:3500] == pytest.approx(
        filtfilt(numerator, denominator, samples)[2500:3500], abs=1e-9
    )
