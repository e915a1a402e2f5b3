"""Spectra of parts of a picture, against numpy's transform."""

import numpy as np
import pytest

from tameshi.footprint.picture.spectrum import ground_under, spectrum_of


@pytest.mark.parametrize(("side", "waves"), [(16, 8), (16, 3), (256, 92), (256, 128)])
def test_spectrum_is_that_of_numpy(side: int, waves: int) -> None:
    part = np.random.default_rng(side).normal(size=(side, side)).astype(np.float32)
    known = np.fft.rfft2(part.astype(np.float64))[:, :waves]
    assert np.abs(spectrum_of(part, waves) - known).max() < 1e-5 * np.abs(known).max()


def test_a_wave_stands_at_its_place() -> None:
    down, across = np.mgrid[0:64, 0:64]
    part = np.cos(2.0 * np.pi * (5 * across - 3 * down) / 64).astype(np.float32)
    height = np.abs(spectrum_of(part, 20))
    assert divmod(int(np.argmax(height)), height.shape[1]) == (64 - 3, 5)


@pytest.mark.parametrize("count", [1, 2, 9, 10, 1001])
def test_ground_is_the_median_where_something_stands_out(count: int) -> None:
    values = np.random.default_rng(count).uniform(1.0, 2.0, count).astype(np.float32)
    assert ground_under(values, 3.0) is None
    if count > 2:
        values[count // 3] = 50.0
        assert ground_under(values, 3.0) == pytest.approx(float(np.median(values)), rel=1e-6)


def test_no_ground_without_values() -> None:
    assert ground_under(np.zeros(0, np.float32), 3.0) is None
