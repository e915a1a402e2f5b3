"""Where contact begins and ends, on pulses that set in with a kink and on smooth ones."""

import numpy as np
import pytest

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import half_sine, haversine, skewed, truth_of
from tests.force.scenes import post, reduced, volts
from tests.known import known

SHAPES = {"half-sine": half_sine, "haversine": haversine, "skewed": skewed}
QUIET = Surroundings(noise=0.5)


def errors(shape, rate, natural):
    """Return errors of duration over their standard uncertainty, at many phases of sampling."""
    rng = np.random.default_rng(5)
    found = []
    for _ in range(12):
        pulse = SHAPES[shape](2000.0, 0.012, 0.4 + rng.random() / rate)
        true = truth_of(pulse, 0.39, 0.43).contact_duration
        rig = post(rate=rate, natural=natural)
        (strike,) = reduced(volts([pulse], rig=rig, surroundings=QUIET), rig).strikes
        duration = known(strike.contact_duration)
        found.append((duration.value - true) / duration.u)
    return np.array(found)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize(("rate", "natural"), [(2000.0, 250.0), (1000.0, 250.0), (5000.0, 800.0)])
def test_durations_are_not_long_by_what_the_inverse_smears(shape, rate, natural):
    found = errors(shape, rate, natural)
    assert abs(found.mean()) < 0.8
    assert np.all(np.abs(found) < 2.6)
