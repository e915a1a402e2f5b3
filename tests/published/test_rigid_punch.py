"""A rigid flat punch on an elastic body.

F = 2 a E* d, p = (p_mean/2)(1 - r^2/a^2)^(-1/2): K. L. Johnson, Contact Mechanics (1985), section 3.8 (value
from memory). FP1: a = 20 mm, E* = 1 MPa, 2 mm deep, worked out from it.
"""

import numpy as np
import pytest

from tameshi.target.contact import punch, punch_pressure
from tests.published.as_printed import as_printed


def test_a_punch_two_millimetres_deep():
    contact = punch(0.020, 1e6, 0.002)
    assert contact.force == as_printed("80")
    assert 1e-3 * contact.mean_pressure == as_printed("63.66")
    assert 1e-3 * contact.centre_pressure == as_printed("31.83")


def test_the_pressure_adds_up_to_the_force():
    contact = punch(0.020, 1e6, 0.002)
    # with r = a sin(t) the edge is no trouble
    angle = np.linspace(0.0, np.pi / 2.0, 20_001)[:-1]
    place = 0.020 * np.sin(angle)
    pressure = punch_pressure(contact, place)
    force = np.trapezoid(pressure * 2.0 * np.pi * place * 0.020 * np.cos(angle), angle)
    assert force == pytest.approx(contact.force, rel=1e-4)
    assert np.isinf(punch_pressure(contact, [0.020])[0])
