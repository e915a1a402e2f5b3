import numpy as np
import pytest

from tameshi.errors import WrongUseError
from tameshi.pressure import repeat_prints, repeats_as_dict
from tameshi.quantity import Quantity, Source


def prints(values, *, own=0.005, scale=0.01):
    return [
        Quantity(v, "m2", {Source("bar", "scale"): scale * v, Source(f"edge{i}", "edge"): own * v})
        for i, v in enumerate(values)
    ]


def test_mean_scatter_and_interval_of_five_prints():
    values = [10e-4, 11e-4, 12e-4, 13e-4, 14e-4]
    found = repeat_prints(prints(values))
    assert found.count == 5
    assert found.mean.value == pytest.approx(12e-4)
    assert found.scatter == pytest.approx(np.std(values, ddof=1))
    assert found.mean.budget["area scatter"] == pytest.approx(np.std(values, ddof=1) / np.sqrt(5.0))
    assert found.flags == ()


def test_the_interval_of_the_scatter_is_that_of_chi_square():
    from scipy import stats

    found = repeat_prints(prints([10e-4, 11e-4, 12e-4, 13e-4, 14e-4]))
    assert found.scatter is not None
    expected = [found.scatter * np.sqrt(4.0 / stats.chi2.ppf(p, 4)) for p in (0.975, 0.025)]
    assert found.scatter_interval == pytest.approx(expected)


def test_a_shared_scale_stays_whole_and_own_errors_are_counted_once():
    found = repeat_prints(prints([10e-4, 11e-4, 12e-4, 13e-4, 14e-4]))
    assert found.mean.budget["scale"] == pytest.approx(0.01 * 12e-4)
    assert "edge" not in found.mean.budget
    assert found.shared == ("scale",)


def test_what_measurement_explains_is_no_human_scatter():
    found = repeat_prints(prints([11.9e-4, 12e-4, 12.1e-4], own=0.05))
    assert found.human == 0.0
    # prints that agree better than they are known: what is known of each still counts
    assert found.mean.budget["area scatter"] == pytest.approx(0.05 * 12e-4 / np.sqrt(3.0), rel=0.01)


def test_one_print_has_no_scatter_of_its_own():
    found = repeat_prints(prints([12e-4]))
    assert found.scatter is None
    assert found.scatter_interval is None
    assert [flag.code for flag in found.flags] == ["few-prints"]
    assert found.mean.u < found.next_print.u


def test_no_print_is_refused():
    with pytest.raises(WrongUseError):
        repeat_prints([])


def test_intervals_of_the_mean_hold_the_truth():
    rng = np.random.default_rng(7)
    held = 0
    for _ in range(400):
        scale = 1.0 + 0.01 * rng.normal()
        values = 12e-4 * (1.0 + 0.08 * rng.normal(size=4)) * (1.0 + 0.005 * rng.normal(size=4)) * scale
        mean = repeat_prints(prints(values.tolist())).mean
        held += mean.low <= 12e-4 <= mean.high
    assert 0.92 <= held / 400 <= 0.98


def test_machine_readable_form():
    found = repeats_as_dict(repeat_prints(prints([10e-4, 12e-4, 13e-4])))
    assert set(found) >= {"count", "mean", "scatter", "scatter_interval", "next_print", "shared", "flags"}
