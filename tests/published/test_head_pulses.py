"""Head injury criterion, severity index and 3 ms clip of pulses of known shape.

Definitions: 49 CFR 571.208. At the best window of a pulse that the longest window does not cut, a(t1) = a(t2)
and the mean is 5/3 of them: C. C. Chou, G. W. Nyquist, SAE 740082 (1974). The closed forms and the table
follow from the definitions, worked out with thirty digits independently of this project's code; so do the
values for few samples with windows that begin and end on samples.
"""

import math

import numpy as np
import pytest

from tameshi.target.head import Pulse, clip_level, injury_criterion, pulse_of, severity_index
from tests.published.as_printed import as_printed

COUNT = 40_000  # of steps: straight lines then miss a curve by less than the printed digits
CURVE = 4e-9  # relative, what the chords of so many steps take off


def shaped(shape: str, peak: float, duration: float, count: int = COUNT) -> Pulse:
    x = np.linspace(0.0, 1.0, count + 1)
    values = {
        "square": np.ones_like(x),
        "half-sine": np.sin(math.pi * x),
        "triangle": 1.0 - np.abs(2.0 * x - 1.0),
        "sawtooth": x,
        "haversine": np.sin(math.pi * x) ** 2,
    }[shape]
    return pulse_of(peak * values, count / duration)


@pytest.mark.parametrize(
    ("shape", "criterion", "window", "severity"),
    [
        ("square", "1", "1", "1"),
        ("half-sine", "0.4146456495", "0.6702296637", "0.4576558581"),
        ("triangle", "0.2464006574", "0.571429", "0.2857142857"),
        ("sawtooth", "0.2464006574", "0.571429", "0.2857142857"),
        ("haversine", "0.3029388550", "0.5075918124", "0.3395305453"),
    ],
)
def test_constants_of_shapes(shape, criterion, window, severity):
    pulse = shaped(shape, 1.0, 1.0)
    found = injury_criterion(pulse, 2.0)
    assert found.value == as_printed(criterion, slack=CURVE)
    # the top is flat: the window is found to the root of what the value is
    assert found.end - found.start == as_printed(window, slack=2e-4)
    assert severity_index(pulse) == as_printed(severity, slack=CURVE)


@pytest.mark.parametrize(
    ("shape", "peak", "duration", "hic15", "hic36", "severity", "clip"),
    [
        ("half-sine", 100.0, 0.010, "414.64565", "414.64565", "457.655858", "89.100652"),
        ("half-sine", 60.0, 0.040, "361.359057", "462.50372", "510.478133", "59.584107"),
        ("half-sine", 50.0, 0.060, "248.579727", "434.454004", "485.417341", "49.845867"),
        ("triangle", 80.0, 0.020, "282.095933", "282.095933", "327.104801", "68.0"),
        ("haversine", 60.0, 0.040, "314.420844", "337.903816", "378.71889", "59.171098"),
        ("square", 80.0, 0.020, "858.650103", "1144.8668", "1144.8668", "80"),
        ("square", 60.0, 0.040, "418.282201", "1003.87728", "1115.41920", "60"),
        ("triangle", 50.0, 0.060, "189.905001", "261.347364", "303.045763", "47.5"),
        ("haversine", 50.0, 0.060, "233.349043", "321.315178", "360.126526", "49.692209"),
        ("half-sine", 100.0, 0.005, "207.322825", "207.322825", "228.827929", "58.778525"),
    ],
)
def test_the_table(shape, peak, duration, hic15, hic36, severity, clip):
    pulse = shaped(shape, peak, duration)
    for longest, printed in ((0.015, hic15), (0.036, hic36)):
        value = injury_criterion(pulse, longest).value
        assert value == as_printed(printed, slack=CURVE * float(printed))
    assert severity_index(pulse) == as_printed(severity, slack=CURVE * float(severity))
    for reading in ("contiguous", "summed"):
        assert clip_level(pulse, reading) == as_printed(clip, slack=CURVE * peak)


@pytest.mark.parametrize(
    ("steps", "printed"),
    [(10, "401.2231"), (20, "411.6421"), (50, "414.2094"), (100, "414.4651"), (200, "414.6243")],
)
def test_few_samples_with_windows_on_samples(steps, printed):
    pulse = shaped("half-sine", 100.0, 0.010, steps)
    assert injury_criterion(pulse, 0.015, ends="samples").value == as_printed(printed)


def test_a_window_that_is_cut():
    time = np.arange(501) * 1e-4
    found = injury_criterion(pulse_of(np.sin(20.0 * math.pi * time), 1e4), 0.030, ends="samples")
    # chords over steps of h = 2 pi 1e-3 take h^2/12 off the mean, which enters to the power 2.5
    assert found.value == as_printed("0.0204803582", slack=2.5 * (2e-3 * math.pi) ** 2 / 12.0 * 0.0205)
    assert (found.start, found.end) == pytest.approx((0.010, 0.040))


@pytest.mark.parametrize("shape", ["half-sine", "haversine", "triangle"])
def test_the_mean_is_five_thirds_of_the_ends(shape):
    pulse = shaped(shape, 70.0, 0.012)
    found = injury_criterion(pulse, 0.036)
    width = found.end - found.start
    mean = (found.value / width) ** 0.4
    time = np.arange(len(pulse.acceleration)) * pulse.step
    ends = np.interp([found.start, found.end], time, pulse.acceleration)
    assert ends == pytest.approx([0.6 * mean, 0.6 * mean], rel=5e-4)


def test_two_humps_hold_different_levels_in_all_and_unbroken():
    rate = 4e6
    first, second = (
        peak * np.sin(math.pi * np.linspace(0.0, 1.0, round(duration * rate) + 1))
        for peak, duration in ((100.0, 0.002), (90.0, 0.004))
    )
    pulse = pulse_of(np.concatenate((first, np.zeros(round(0.003 * rate)), second)), rate)
    assert clip_level(pulse, "summed") == as_printed("65.759347", slack=1e-5)
    assert clip_level(pulse, "contiguous") == as_printed("34.441509", slack=1e-5)
    assert clip_level(pulse, "contiguous") == pytest.approx(90.0 * math.cos(3.0 * math.pi / 8.0), abs=1e-5)


@pytest.mark.parametrize(
    ("milliseconds", "printed"), [(1, "251.188643"), (5, "131.950791"), (20, "75.785828"), (50, "52.530556")]
)
def test_square_pulses_with_a_severity_of_a_thousand(milliseconds, printed):
    pulse = shaped("square", float(printed), 1e-3 * milliseconds, 10)
    assert severity_index(pulse) == pytest.approx(1000.0, rel=2.5 * 0.5e-6 / float(printed))
