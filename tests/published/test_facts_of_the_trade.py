"""Plain facts of the trade that the bench has to reproduce. Common practice, no source.

286 N is 64.3 lbf; over 218 mm2, which is 0.338 in2, that is about 190 psi or 1.3 MPa. 4000 N is about 900
lbf; over 7 in2 that is about 128 psi or 0.88 MPa: the smaller surface gives the higher mean pressure at a
fourteenth of the force. A rise of about 6 ms has to be resolved.
"""

import numpy as np
import pytest

from tameshi.force import Trace, reduce_trace
from tameshi.pressure import join
from tameshi.quantity import Quantity, parse_quantity, parse_unit, show
from tameshi.rig import conversion_by_scale
from tests.known import known
from tests.published.as_printed import as_printed

SMALL = (Quantity(286.0, "N"), Quantity(218e-6, "m2"))
LARGE = (Quantity(4000.0, "N"), Quantity(parse_quantity("7 in2", "area"), "m2"))


def in_unit(quantity, unit):
    return quantity.value / parse_unit(unit).factor


def test_small_force_and_area_in_us_units():
    assert in_unit(SMALL[0], "lbf") == as_printed("64.3")
    assert in_unit(SMALL[1], "in2") == as_printed("0.338")


def test_small_pressure():
    mean = join(*SMALL).mean_pressure
    assert in_unit(mean, "MPa") == as_printed("1.3")
    assert in_unit(mean, "psi") == pytest.approx(190.0, rel=0.005)  # "about 190"


def test_large_force_and_pressure():
    mean = join(*LARGE).mean_pressure
    assert in_unit(LARGE[0], "lbf") == pytest.approx(900.0, rel=0.005)  # "about 900"
    assert in_unit(mean, "psi") == pytest.approx(128.0, rel=0.005)  # "about 128"
    # the rounded 0.88 MPa belongs to the rounded 128 psi
    assert in_unit(mean, "MPa") == as_printed("0.88", slack=0.005)


def test_the_smaller_surface_presses_harder_at_a_fourteenth_of_the_force():
    assert join(*SMALL).mean_pressure.value > join(*LARGE).mean_pressure.value
    assert LARGE[0].value / SMALL[0].value == as_printed("14")


def test_pressure_is_shown_in_both_systems():
    mean = join(*SMALL).mean_pressure
    assert (show(mean, "si").unit, show(mean, "us").unit) == ("MPa", "psi")


@pytest.mark.parametrize("rate", [5_000.0, 20_000.0])
def test_a_rise_of_six_milliseconds_is_resolved(rate):
    duration = 0.006 / 0.324549  # the half-sine whose 10-90 % rise is 6 ms (derived)
    time = np.arange(round(0.2 * rate)) / rate
    x = (time - 0.08) / duration
    samples = np.where((x > 0.0) & (x < 1.0), 1200.0 * np.sin(np.pi * np.clip(x, 0.0, 1.0)), 0.0)
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    (strike,) = reduce_trace(Trace(samples, rate, "N"), conversion).strikes
    assert known(strike.rise_time).value == pytest.approx(0.006, rel=0.01)
    assert known(strike.rise_time).low < 0.006 < known(strike.rise_time).high
