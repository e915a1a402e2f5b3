"""Ink that is hard to tell: very pale, beside droplets, on white, in a shadow's edge, with a rim, bled."""

import math

import numpy as np
import pytest

from tameshi.errors import UnmeasurableError
from tests.footprint.inked import BLACK, BLUE, DISC, MIDDLE, PAPER, Light, disc, grid, measured, scanned, zero


def droplets() -> Light:
    places = [(0.02, 0.02), (0.08, 0.025), (0.078, 0.08), (0.022, 0.07)]
    return np.asarray(np.max([disc(0.0009, x, y) for x, y in places], axis=0), np.float64)


@pytest.mark.parametrize("density", [0.08, 0.11, 0.15])
def test_a_very_pale_print_is_measured_and_not_the_droplets_beside_it(density):
    found = measured(scanned(np.maximum(density * disc(), 1.5 * droplets())))
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert found.contact_area.low < DISC < found.contact_area.high
    assert "faint-ink" in [flag.code for flag in found.flags]
    assert sum(one.area for one in found.set_aside) == pytest.approx(4.0 * math.pi * 0.0009**2, rel=0.3)


def test_a_pale_patch_beside_a_darker_one_of_a_faint_print_counts():
    two = np.maximum(0.22 * disc(0.012, 0.03), 0.13 * disc(0.012, 0.07))
    found = measured(scanned(two))
    assert len(found.patches) == 2
    assert found.contact_area.value == pytest.approx(2.0 * math.pi * 0.012**2, rel=0.02)


def test_a_pale_stain_beside_a_dark_print_is_no_print():
    found = measured(scanned(np.maximum(1.0 * disc(0.01, 0.03), 0.1 * disc(0.018, 0.07))))
    assert found.contact_area.value == pytest.approx(math.pi * 0.01**2, rel=0.01)


def test_blank_paper_with_a_soft_shadow_is_no_pale_print():
    across, down = grid()
    shadow = np.asarray(
        1.0 - 0.3 * np.exp(-((across - 0.05) ** 2 + (down - 0.05) ** 2) / (2.0 * 0.02**2)), np.float64
    )
    with pytest.raises(UnmeasurableError) as refused:
        measured(scanned(zero(), lit=shadow))
    assert refused.value.code == "no-print"


def test_writing_alone_is_called_lines():
    across, down = grid()
    wave = (
        (np.abs(down - 0.05 - 0.004 * np.sin(across * 400.0)) < 0.0004) & (np.abs(across - 0.05) < 0.02)
    ) * 1.0
    with pytest.raises(UnmeasurableError, match="only lines, such as writing"):
        measured(scanned(np.asarray(wave, np.float64)))


@pytest.mark.parametrize("ink", [BLUE, BLACK])
@pytest.mark.parametrize(("width", "depth"), [(0.0002, 0.5), (0.0004, 0.7), (0.001, 0.5)])
def test_a_hard_shadow_across_two_patches_does_not_join_them_or_run_to_the_edge(ink, width, depth):
    across, down = grid()
    lit = 1.0 - depth + depth / (1.0 + np.exp((down - 0.05 - 0.1 * (across - 0.05)) / width))
    two = np.maximum(disc(0.012, 0.034), disc(0.012, 0.066))
    found = measured(scanned(two, ink, lit=np.asarray(lit, np.float64)))
    assert len(found.patches) == 2
    assert found.contact_area.value == pytest.approx(2.0 * math.pi * 0.012**2, rel=0.02)


@pytest.mark.parametrize("ink", [(0.14, 0.24, 0.34), BLACK])
@pytest.mark.parametrize("density", [0.25, 0.4, 1.0])
def test_a_print_of_another_colour_than_the_writing_beside_it_is_measured(ink, density):
    across, down = grid()
    stroke = (np.abs(down - 0.015 - 0.003 * np.sin(across * 600.0)) < 0.0004) & (np.abs(across - 0.05) < 0.03)
    own = np.asarray(ink) / max(ink) * density
    light = np.asarray(PAPER) * np.exp(
        -disc(0.01)[..., None] * own - stroke[..., None] * np.array(BLUE) * 1.8
    )
    noise = np.random.default_rng(1).normal(0.0, 0.003, light.shape)
    found = measured(np.asarray(np.rint(255.0 * np.clip(light ** (1.0 / 2.2) + noise, 0.0, 1.0)), np.uint8))
    assert found.contact_area.value == pytest.approx(math.pi * 0.01**2, rel=0.02)


def test_a_patch_whose_ink_fades_out_to_one_side_keeps_its_darker_part():
    across, _ = grid()
    fading = np.asarray(np.clip((across - 0.03) / 0.02, 0.0, 1.0) * disc(), np.float64)
    found = measured(scanned(fading))
    half = 0.5 * (1.0 + math.exp(-1.0))  # of the light: half way from paper to full ink
    x = 0.03 - 0.02 * math.log(half) - MIDDLE
    right = 0.015**2 * math.acos(x / 0.015) - x * math.sqrt(0.015**2 - x**2)
    assert right < found.contact_area.value < 1.005 * DISC


def test_a_dark_rim_does_not_make_a_print_larger():
    rimmed = 0.5 * disc() + 0.7 * (disc() - disc(0.0143))
    found = measured(scanned(rimmed))
    assert "dark-rim" in [flag.code for flag in found.flags]
    assert found.contact_area.value == pytest.approx(DISC, rel=0.01)


def test_pale_ink_on_paper_scanned_pure_white_is_measured_with_its_doubt():
    found = measured(scanned(0.3 * disc(), gain=1.35))
    assert "bright" in [flag.code for flag in found.flags]
    assert "paper too bright" in found.contact_area.budget
    assert found.contact_area.low < DISC < found.contact_area.high


def test_a_scan_of_one_bit_with_skin_ridges_is_not_called_overexposed():
    across, down = grid(400.0)
    inside = np.hypot(across - MIDDLE, down - MIDDLE) <= 0.015
    ridges = np.cos(2.0 * math.pi * (across + 0.2 * down) / 0.0006) > 0.4  # ink on a third of a period
    picture = np.where(inside & ridges, 0, 255).astype(np.uint8)
    found = measured(picture, 400.0)
    assert found.contact_area.value == pytest.approx(DISC, rel=0.05)


@pytest.mark.parametrize("bleed", [0.0004, 0.0008])
def test_red_ink_that_bled_is_measured_and_the_interval_says_how_soft_it_is(bleed):
    found = measured(scanned(disc(blur=bleed), (0.12, 1.7, 1.4)))
    assert "soft edge" in found.contact_area.budget
    assert found.contact_area.low < DISC < found.contact_area.high
