"""Thin dark things stand out from what is around them, in stored values and in shares of them alike."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.thin import thin_darkness


def noise(rows: int, columns: int) -> Pixels:
    picture = np.random.default_rng(rows).integers(0, 256, (rows, columns), dtype=np.uint8)
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), 1.0), np.uint8)


def test_stored_values_and_their_shares_say_the_same() -> None:
    picture = noise(300, 90)
    shares = picture.astype(np.float32) / np.float32(255.0)
    assert np.allclose(thin_darkness(picture), thin_darkness(shares), rtol=0.0, atol=1e-6)


def test_strips_leave_no_seam() -> None:
    level = noise(301, 64).astype(np.float32) / np.float32(255.0)
    ground = cv2.morphologyEx(level, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    whole = np.clip(1.0 - level / np.maximum(ground, 0.02), 0.0, 0.4)
    assert np.allclose(thin_darkness(level), whole, rtol=0.0, atol=1e-6)


def test_lines_stand_out_and_wide_bars_do_not() -> None:
    picture = np.full((60, 200), 200, np.uint8)
    picture[:, 50:53] = 160
    picture[:, 120:160] = 160
    dark = thin_darkness(picture)
    assert np.allclose(dark[:, 50:53], 0.2, atol=1e-6)
    assert float(np.delete(dark, [50, 51, 52], axis=1).max()) == 0.0
