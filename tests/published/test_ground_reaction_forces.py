"""Real force-time curves: vertical ground reaction forces of walking, against scipy.

Source: T. C. Pataky, the package spm1d 0.4.55 (data/datafiles/ex_grf_subj000.npy to subj009.npy: ten
people, 60 trials each, in body weights over the stance). Time base, body weight and the quiet recording
round each curve are ours, for the curves come without. They are pushes and no strikes, but nobody
simulated their shape.

The independent computation is a cubic spline through the same samples (scipy.interpolate.CubicSpline):
its greatest value, its integral and its level crossings. Tolerances are several times what was seen; a
curve through samples says nothing exact about what lies between them.
"""

from pathlib import Path

import numpy as np
import pytest
import spm1d
from scipy.interpolate import CubicSpline

from tameshi.force import Origin, reduce_trace
from tameshi.readers import Asked, prepare, read_recording
from tests.known import known

DATA = Path(spm1d.__file__).parent / "data" / "datafiles"
WEIGHT, RATE, QUIET, NOISE = 700.0, 1000.0, 300, 0.3  # N, Hz, samples, N


@pytest.fixture(params=[(person, trial) for person in range(10) for trial in (0, 59)], ids=str)
def curve(request):
    person, trial = request.param
    force = WEIGHT * np.maximum(np.load(DATA / f"ex_grf_subj00{person}.npy")[trial], 0.0)
    force[0] = force[-1] = 0.0
    return force


def as_file(curve):
    noise = np.random.default_rng(round(1e3 * curve.max())).normal(0.0, NOISE, len(curve) + 2 * QUIET)
    whole = np.concatenate([np.zeros(QUIET), curve, np.zeros(QUIET)]) + noise
    lines = [f"{place / RATE:.4f};{value:.3f}" for place, value in enumerate(whole)]
    return "\n".join(["time (s);force (N)", *lines, ""]).replace(".", ",").encode()


def test_figures_agree_with_a_spline_through_the_same_samples(curve):
    trace, conversion = prepare(
        read_recording(as_file(curve), "grf.csv"), Origin("grf.csv", "0" * 64), Asked()
    )
    (strike,) = reduce_trace(trace, conversion).strikes
    time = np.linspace(0.0, len(curve) - 1.0, 20_001)
    force = CubicSpline(np.arange(len(curve)), curve)(time)
    peak, top = float(force.max()), int(force.argmax())
    above = time[force >= 0.05 * peak]
    climb = force[: top + 1]
    rise = time[np.flatnonzero(climb < 0.9 * peak)[-1]] - time[np.flatnonzero(climb < 0.1 * peak)[-1]]
    assert known(strike.peak_force).value == pytest.approx(peak, rel=0.002)
    assert known(strike.impulse).value == pytest.approx(np.trapezoid(force, time) / RATE, rel=0.003)
    assert known(strike.contact_duration).value == pytest.approx((above[-1] - above[0]) / RATE, rel=0.005)
    assert known(strike.rise_time).value == pytest.approx(rise / RATE, rel=0.03)
