"""Two figures of the same strikes together, and lines through a session."""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.comparison import Trial, band_of, together
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, Source


def trials(values, unit, relative):
    return [
        Trial(value=Quantity(float(v), unit, {Source(f"{unit}{n}", "noise"): relative * float(v)}))
        for n, v in enumerate(values)
    ]


def cloud(rng, count, relative=(0.0, 0.0)):
    logs = rng.multivariate_normal([0.0, 0.0], [[0.04, 0.02], [0.02, 0.09]], count)
    noise = rng.normal(0.0, 1.0, (count, 2)) * relative
    return np.exp(logs + noise + [np.log(12e-4), np.log(2500.0)]).T


def test_covariance_agrees_with_numpy_where_nothing_is_measured_badly():
    areas, forces = cloud(np.random.default_rng(1), 30)
    found = together(trials(areas, "m2", 1e-9), trials(forces, "N", 1e-9))
    assert found.covariance == pytest.approx(np.cov(np.log([areas, forces])), rel=1e-6)
    assert found.correlation == pytest.approx(np.corrcoef(np.log([areas, forces]))[0, 1])


def test_what_the_measurement_explains_is_taken_out():
    areas, forces = cloud(np.random.default_rng(2), 4000, (0.15, 0.10))
    found = together(trials(areas, "m2", 0.15), trials(forces, "N", 0.10))
    assert np.diag(found.covariance) == pytest.approx([0.04, 0.09], rel=0.08)
    assert found.covariance[0, 1] == pytest.approx(0.02, rel=0.12)
    assert found.measured_share[0] == pytest.approx(0.0225 / 0.0625, rel=0.08)


def test_the_ellipse_holds_its_share_of_strikes():
    rng = np.random.default_rng(3)
    areas, forces = cloud(rng, 4000)
    found = together(trials(areas, "m2", 1e-9), trials(forces, "N", 1e-9))
    outline = np.log(np.vstack(found.outline(2.0 / 3.0)))
    inverse = np.linalg.inv(found.covariance)

    def distance(points):
        off = points - found.centre[:, None]
        return np.einsum("in,ij,jn->n", off, inverse, off)

    edge = distance(outline)
    assert edge == pytest.approx(np.full(edge.shape, edge[0]), rel=1e-6)
    assert np.mean(distance(np.log(np.vstack([areas, forces]))) <= edge[0]) == pytest.approx(2 / 3, abs=0.02)


def test_scatter_below_the_noise_leaves_no_ellipse_beyond_a_point():
    rng = np.random.default_rng(4)
    areas, forces = np.exp(rng.normal(0.0, 0.001, (2, 8))) * [[12e-4], [2500.0]]
    found = together(trials(areas, "m2", 0.05), trials(forces, "N", 0.05))
    assert found.covariance == pytest.approx(np.zeros((2, 2)), abs=1e-12)
    assert found.is_hidden


def test_two_strikes_show_no_ellipse():
    with pytest.raises(UnmeasurableError, match="from 3 strikes on"):
        together(trials([1.0, 2.0], "m2", 0.01), trials([1.0, 2.0], "N", 0.01))


def test_the_band_of_a_line_holds_the_true_line():
    rng = np.random.default_rng(5)
    place = np.arange(8.0)
    held = np.zeros(25)
    for _ in range(600):
        band = band_of(place, 100.0 + 3.0 * place + rng.normal(0.0, 10.0, 8))
        truth = 100.0 + 3.0 * band.place
        held += (band.low <= truth) & (truth <= band.high)
    assert np.all((held / 600 > 0.92) & (held / 600 < 0.98))


def test_three_strikes_have_no_band():
    with pytest.raises(UnmeasurableError, match="4 strikes"):
        band_of([1.0, 2.0, 3.0], [1.0, 2.0, 3.0])


def test_an_error_in_both_figures_of_a_strike_is_followed():
    # a mass is momentum over speed: what the speed is wrong by leans the cloud the other way
    rng = np.random.default_rng(6)
    speeds, masses = [], []
    for n in range(3000):
        speed, mass = np.exp(rng.normal(2.0, 0.05)), np.exp(rng.normal(1.0, 0.10))
        seen = Quantity(float(speed * np.exp(rng.normal(0.0, 0.08))), "m/s", {})
        seen = Quantity(seen.value, "m/s", {Source(f"film{n}", "film"): 0.08 * seen.value})
        worked_out = Quantity(speed * mass, "N s") / seen
        speeds.append(Trial(value=seen))
        masses.append(Trial(value=worked_out))
    found = together(masses, speeds)
    assert found.correlation < -0.3
    assert found.covariance == pytest.approx(np.diag([0.01, 0.0025]), abs=6e-4)
