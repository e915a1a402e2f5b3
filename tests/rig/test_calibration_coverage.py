"""How often the interval of a force holds it, over many simulated calibrations."""

import numpy as np
import pytest

from tameshi.rig import calibration_table, fit_calibration, parse_rig
from tests.rig.rigs import RIG, rig
from tests.rig.series import GREATEST, Chain, calibrated, read, with_calibration

SERIES = 600


def share_held(chain, degree, seed):
    rng = np.random.default_rng(seed)
    held = []
    for _ in range(SERIES):
        owned = with_calibration(rig(), calibrated(chain, rng, degree=degree))
        force = float(rng.uniform(0.1, 1.0)) * GREATEST
        found = read(owned, chain, force, rng)
        held.append(found.low <= force <= found.high)
    return float(np.mean(held))


@pytest.mark.parametrize(
    ("chain", "degree"),
    [
        (Chain(), 1),
        (Chain(), 2),
        (Chain(scatter=1e-4, load_u=1e-3), 1),
        (Chain(bend=0.005), 2),
        (Chain(bend=-0.003, scatter=1e-3), 2),
    ],
)
def test_95_of_100_intervals_hold_the_force(chain, degree):
    assert 0.93 <= share_held(chain, degree, 7) <= 0.98


@pytest.mark.parametrize(
    ("chain", "degree"),
    [
        (Chain(drift=0.0005), 1),
        (Chain(drift=-0.001), 2),
        (Chain(hysteresis=0.001), 1),
        (Chain(hysteresis=0.001), 2),
        (Chain(bend=0.002), 1),
        (Chain(bend=-0.005, hysteresis=0.001, drift=0.0005), 1),
        (Chain(bend=0.003, hysteresis=0.001, drift=0.0005), 2),
    ],
)
def test_what_the_curve_cannot_follow_is_covered_too(chain, degree):
    # drift and hysteresis count as scatter and a bend as a bound: more than 95 % lie in such intervals
    assert share_held(chain, degree, 8) >= 0.93


def test_a_bend_that_a_straight_line_cannot_follow_is_kept_with_the_calibration():
    share = np.tile(np.linspace(0.0, 1.0, 11), 3)
    scatter = np.random.default_rng(1).normal(0.0, 1e-5, len(share))
    readings = share - 0.01 * 4.0 * share * (1.0 - share) + scatter
    fitted = fit_calibration(2000.0 * share, readings, degree=1)
    # derived: the least-squares line of a symmetric bend is parallel to the ends' one, so that, zeroed, the
    # curve lies a hundredth below it in the middle
    assert fitted.misfit == pytest.approx(0.01, rel=0.02)
    assert fit_calibration(2000.0 * share, readings, degree=2).misfit == 0.0
    assert fit_calibration(2000.0 * share, share + scatter, degree=1).misfit == 0.0
    parsed = parse_rig(RIG + calibration_table(fitted)).calibration
    assert parsed is not None
    assert parsed.misfit == pytest.approx(fitted.misfit)
    assert "misfit" not in calibration_table(fit_calibration(2000.0 * share, share + scatter, degree=1))


def test_scatter_is_seldom_taken_for_a_bend():
    rng = np.random.default_rng(3)
    told = [calibrated(Chain(), rng, degree=degree).misfit > 0.0 for degree in (1, 2) for _ in range(300)]
    assert sum(told) <= 15  # one in a hundred is meant; binomial bound at 600
