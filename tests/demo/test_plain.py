"""Photos of plain sheets: where the paper is drawn, checked by geometry of its own."""

from dataclasses import replace

import numpy as np
import pytest

from tameshi.demo.photo import Camera, Finish, Setting, Surface, camera_matrix
from tameshi.demo.plain import Lying, PlainSetting, places_seen, render_plain
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.footprint import sheet_layout

CAMERA = Camera(width=320, height=400, tilt=20.0, azimuth=70.0, roll=10.0, fill=0.6)
BARE = Finish(blur=0.0, noise=0.0, texture=0.0)
DARK = Surface(table=(0.02, 0.02, 0.02))


def drawn(lying: Lying, contact: ContactPrint | None = None, camera: Camera = CAMERA) -> np.ndarray:
    setting = Setting(camera=camera, finish=BARE, surface=DARK)
    contact = contact or ContactPrint("none", ())
    return render_plain(contact, PlainSetting(setting=setting, lying=lying), np.random.default_rng(1))


def test_a_flat_sheet_lies_where_the_camera_matrix_says():
    sheet = sheet_layout("a4")
    corners = np.array([(0, 0, 1), (sheet.width, 0, 1), (sheet.width, sheet.height, 1), (0, sheet.height, 1)])
    lifted = corners @ camera_matrix("a4", CAMERA).T
    x, y = (lifted[:, :2] / lifted[:, 2:]).T
    area = 0.5 * abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)))
    white = drawn(Lying(edge_shadow=0.0))[:, :, 1] > 128
    assert np.count_nonzero(white) == pytest.approx(area, rel=0.01)
    rows, columns = np.nonzero(white)
    assert (columns.min(), columns.max()) == pytest.approx((x.min(), x.max()), abs=2.0)
    assert (rows.min(), rows.max()) == pytest.approx((y.min(), y.max()), abs=2.0)


def test_ink_lies_where_it_was_put():
    place = (0.06, 0.21)
    picture = drawn(Lying(), ContactPrint("dot", (Blob(*place, 0.012),)))
    lifted = camera_matrix("a4", CAMERA) @ np.array([*place, 1.0])
    column, row = np.rint(lifted[:2] / lifted[2]).astype(int)
    assert picture[row, column].max() < 90
    assert picture[row, column + 60].min() > 160


def test_a_lens_moves_points_along_rays_from_the_middle():
    square = Camera(width=320, height=400, fill=0.6)
    plain, bent = (places_seen(Lying(), replace(square, distortion=k)) for k in (0.0, -0.1))
    middle = np.array([sheet_layout("a4").width, sheet_layout("a4").height]) / 2.0
    out, moved = plain - middle, bent - middle
    assert np.abs(out[..., 0] * moved[..., 1] - out[..., 1] * moved[..., 0]).max() < 1e-12
    assert np.all(np.sum(moved**2, axis=-1) >= np.sum(out**2, axis=-1) - 1e-15)


def test_a_sheet_raised_in_its_middle_looks_larger_there():
    square = Camera(width=320, height=400, fill=0.6)
    flat, raised = (places_seen(Lying(curl=curl), square) for curl in (0.0, 0.01))
    row, column = (size // 2 for size in flat.shape[:2])
    across = [abs(grid[row, column + 1, 0] - grid[row, column - 1, 0]) for grid in (flat, raised)]
    distance = 0.75 * 400.0 * 0.297 / (0.6 * 400.0)
    assert across[1] / across[0] == pytest.approx(1.0 - 0.01 / distance, rel=2e-3)


def test_cut_fold_finger_and_tables_show():
    whole = np.count_nonzero(drawn(Lying(edge_shadow=0.0))[:, :, 1] > 128)
    folded = np.count_nonzero(drawn(Lying(edge_shadow=0.0, fold=0.04))[:, :, 1] > 128)
    sheet = sheet_layout("a4")
    share = 0.5 * 0.04**2 / (sheet.width * sheet.height)
    assert 1.0 - folded / whole == pytest.approx(share, rel=0.35)
    finger = drawn(Lying(finger=(0.5, 0.02)))
    assert np.any((finger[:, :, 0] > 1.15 * finger[:, :, 2]) & (finger[:, :, 0] > 120))
    for texture in ("wood", "speckled", "checked"):
        table = drawn(Lying(texture=texture, contrast=0.3))[:40, :40]
        assert table.std() > 2.0 * drawn(Lying())[:40, :40].std() + 1.0
