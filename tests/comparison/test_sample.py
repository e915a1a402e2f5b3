import numpy as np
import pytest

from tameshi.comparison import Trial, outliers_of, sample_of
from tameshi.errors import UnitError, UnmeasurableError
from tameshi.quantity import Quantity, Source
from tests.comparison.simulated import trial, values_as_trials


def test_mean_scatter_and_extremes():
    sample = sample_of(values_as_trials([2800.0, 3000.0, 3100.0, 3300.0]))
    assert sample.mean.value == pytest.approx(3050.0)
    assert sample.sd is not None
    assert sample.sd == pytest.approx(np.std([2800.0, 3000.0, 3100.0, 3300.0], ddof=1))
    assert sample.cv == pytest.approx(sample.sd / 3050.0)
    assert (sample.least, sample.median, sample.greatest) == (2800.0, 3050.0, 3300.0)
    assert sample.mean.u == pytest.approx(sample.sd / 2.0)
    assert sample.mean.dof == pytest.approx(3.0)


def test_shared_calibration_stays_whole_in_the_mean_and_own_noise_is_in_the_scatter():
    sample = sample_of(
        [trial(3000.0 + 100.0 * step, cal=0.01, own=20.0, order=step) for step in range(-2, 3)]
    )
    assert sample.mean.budget["calibration"] == pytest.approx(30.0)
    assert "noise" not in sample.mean.budget
    assert sample.measurement_u == pytest.approx(20.0)
    assert sample.sd is not None
    assert sample.human_sd == pytest.approx(np.sqrt(sample.sd**2 - 20.0**2))


def test_scatter_smaller_than_the_noise_leaves_nothing_human():
    sample = sample_of([trial(3000.0 + step, own=50.0, order=step) for step in range(4)])
    assert sample.human_sd == 0.0
    assert sample.mean.u == pytest.approx(50.0 / 2.0)


def test_intervals_of_mean_and_scatter_hold_the_truth():
    rng = np.random.default_rng(4)
    held = np.zeros(2)
    for _ in range(600):
        sample = sample_of(values_as_trials(rng.normal(3000.0, 150.0, 6)))
        assert sample.sd_interval is not None
        held += (
            sample.mean.low <= 3000.0 <= sample.mean.high,
            sample.sd_interval[0] <= 150.0 <= sample.sd_interval[1],
        )
    assert np.all((held / 600.0 > 0.925) & (held / 600.0 < 0.975))


def test_what_stands_out_is_shown_and_kept():
    values = [3000.0, 3020.0, 2990.0, 3010.0, 2980.0, 3030.0, 2970.0, 4200.0]
    sample = sample_of(values_as_trials(values))
    assert sample.outliers == (7,)
    assert sample.mean.value == pytest.approx(np.mean(values))


def test_few_or_equal_values_have_no_outliers():
    assert outliers_of(np.array([1.0, 2.0, 900.0])) == ()
    assert outliers_of(np.full(8, 3.0)) == ()


def test_a_single_trial_has_no_scatter():
    sample = sample_of([trial(3000.0, own=20.0)])
    assert sample.sd is None
    assert sample.mean.u == pytest.approx(20.0)


def test_nothing_and_mixed_units_are_refused():
    with pytest.raises(UnmeasurableError, match="takes 1 trials"):
        sample_of([])
    other = Trial(value=Quantity(1.0, "s", {Source("x", "noise"): 0.1}))
    with pytest.raises(UnitError, match="cannot be compared"):
        sample_of([trial(3000.0), other])
