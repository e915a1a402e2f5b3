import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError
from tameshi.pressure import Pulse, Range, area_law, join, pressure_course
from tameshi.quantity import Quantity, Source
from tests.known import known

PEAK, AREA, DURATION = 3000.0, 12e-4, 0.010


def pulse(force=PEAK, *, count=401, noise=0.0, shape=np.sin, rng=None):
    time = np.linspace(0.0, DURATION, count)
    values = force * shape(np.pi * time / DURATION)
    if rng is not None:
        values = values + rng.normal(0.0, noise, count)
    return Pulse(
        time=time,
        force=values,
        peak=Quantity(force, "N", {Source("cal", "calibration"): 0.01 * force}),
        noise=noise,
        key="evening:1",
    )


def law(exponent=0.5, *, count=12, human=0.02, seed=2):
    rng = np.random.default_rng(seed)
    forces = np.geomspace(800.0, 4000.0, count)
    areas = AREA * (forces / PEAK) ** exponent * np.exp(rng.normal(0.0, human, count))
    return area_law(
        [
            Quantity(f, "N", {Source("cal", "calibration"): 0.01 * f, Source(f"f{i}", "noise"): 0.003 * f})
            for i, f in enumerate(forces.tolist())
        ],
        [
            Quantity(a, "m2", {Source("bar", "scale"): 0.01 * a, Source(f"a{i}", "edge"): 0.01 * a})
            for i, a in enumerate(areas.tolist())
        ],
    )


def mean_pressure(force=PEAK):
    area = Quantity(AREA, "m2", {Source("bar", "scale"): 0.01 * AREA})
    return join(pulse(force).peak, area).mean_pressure


def test_pressure_falls_slower_than_force_where_area_grows_with_it():
    course = pressure_course(pulse(), mean_pressure(), law())
    middle = int(np.argmin(np.abs(course.time - 0.1 * DURATION)))
    force_share = np.sin(0.1 * np.pi)
    assert course.pressure is not None
    assert course.pressure.max() == pytest.approx(mean_pressure().value, rel=1e-9)
    n = known(course.exponent).value
    assert course.pressure[middle] / course.pressure.max() == pytest.approx(
        force_share ** (1.0 - n), rel=1e-6
    )


def test_half_duration_of_a_half_sine_in_closed_form():
    # derived: F_peak sin > F_peak (1/2)^(1/(1-n)) for (1 - 2 asin(...)/pi) of the contact
    course = pressure_course(pulse(), mean_pressure(), law())
    level = 0.5 ** (1.0 / (1.0 - known(course.exponent).value))
    expected = DURATION * (1.0 - 2.0 * np.arcsin(level) / np.pi)
    assert known(course.half_duration).value == pytest.approx(expected, rel=1e-4)


def test_without_a_law_the_simple_ones_bound_the_course():
    course = pressure_course(pulse(), mean_pressure())
    assert course.pressure is None
    assert not course.is_within.any()
    assert isinstance(course.half_duration, Range)
    # rigid flat: time of the force above a half; sphere: above an eighth
    assert course.half_duration.low == pytest.approx(DURATION * 2.0 / 3.0, rel=1e-3)
    assert course.half_duration.high == pytest.approx(
        DURATION * (1.0 - 2.0 * np.arcsin(0.125) / np.pi), rel=1e-3
    )
    assert "has not been measured" in course.half_duration.why


@given(st.floats(0.0, 0.66))
def test_the_course_of_any_simple_law_lies_inside_the_bounds(exponent):
    mean = mean_pressure()
    bounds = pressure_course(pulse(), mean)
    share = np.sin(np.pi * bounds.time / DURATION).clip(0.0)
    true = mean.value * share ** (1.0 - exponent)
    assert np.all(bounds.low <= true * (1.0 + 1e-9))
    assert np.all(true <= bounds.high * (1.0 + 1e-9))
    assert bounds.pressure_impulse.low <= np.trapezoid(true, bounds.time) <= bounds.pressure_impulse.high


def test_what_lies_outside_the_forces_of_the_law_is_told():
    course = pressure_course(pulse(), mean_pressure(), law())
    force = pulse().force
    assert np.array_equal(course.is_within, (force >= 800.0 - 1e-9) & (force <= 4000.0))


def test_shared_errors_of_peak_and_law_are_followed():
    one = law()
    area = one.area_of(pulse().peak, draw="x")
    mean = join(pulse().peak, area).mean_pressure
    impulse = pressure_course(pulse(), mean, one).pressure_impulse
    assert {"calibration", "scale"} <= set(known(impulse).budget)
    assert impulse.unit == "Pa s"


def test_intervals_hold_the_truth_where_law_area_and_noise_are_drawn():
    rng = np.random.default_rng(11)
    held = {"half_duration": 0, "pressure_impulse": 0}
    trials = 300
    for trial in range(trials):
        n = float(rng.uniform(0.35, 0.6))
        fitted = law(n, seed=trial, human=0.03)
        true_area = AREA * float(np.exp(rng.normal(0.0, 0.01)))
        seen = pulse(noise=5.0, rng=rng)
        area = Quantity(AREA, "m2", {Source("own", "edge"): 0.01 * AREA})
        course = pressure_course(seen, join(seen.peak, area).mean_pressure, fitted)
        share = np.sin(np.pi * course.time / DURATION).clip(0.0)
        peak = PEAK / true_area
        level = 0.5 ** (1.0 / (1.0 - n))
        truths = {
            "half_duration": DURATION * (1.0 - 2.0 * np.arcsin(level) / np.pi),
            "pressure_impulse": float(np.trapezoid(peak * share ** (1.0 - n), course.time)),
        }
        for name, truth in truths.items():
            figure = getattr(course, name)
            held[name] += figure.low <= truth <= figure.high
    assert 0.90 <= held["half_duration"] / trials <= 0.985
    assert held["pressure_impulse"] / trials >= 0.90


def test_a_law_that_leaves_open_whether_pressure_falls_gives_bounds():
    steep = law(0.9, count=6, human=0.12, seed=5)
    assert steep.exponent.high >= 1.0
    course = pressure_course(pulse(), mean_pressure(), steep)
    assert isinstance(course.half_duration, Range)
    assert "leave open" in course.half_duration.why


def test_a_contact_of_two_samples_has_no_course():
    with pytest.raises(UnmeasurableError, match="too few samples"):
        pressure_course(pulse(count=2), mean_pressure())
