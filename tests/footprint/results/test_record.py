"""Machine-readable results and the overlay picture."""

import json

import cv2
import numpy as np
import pytest

from tameshi.footprint import (
    Corrections,
    FootprintSettings,
    as_dict,
    draw_overlay,
    measure_footprint,
    overlay_png,
    to_record,
)
from tameshi.quantity import Quantity, from_record
from tests.footprint.scenes import scan_of, simple_photo

QUANTITY = {"value", "unit", "u", "low", "high", "dof", "budget"}


@pytest.fixture(scope="module")
def found():
    return measure_footprint(
        simple_photo((0.06, 0.11, 0.015), (0.12, 0.18, 0.01), (0.05, 0.2, 0.001)), key="k"
    )


def test_the_public_form_is_the_contracts_with_axes_prints_and_spacings(found):
    record = as_dict(found, file="a.jpg", sha256="ab", size=(1125, 1500))
    assert set(record) == {
        "schema",
        "image",
        "reference",
        "contact_area",
        "inked_area",
        "patches",
        "prints",
        "spacings",
        "set_aside",
        "flags",
    }
    assert record["schema"] == "tameshi.footprint/1"
    assert record["image"] == {"file": "a.jpg", "sha256": "ab", "width": 1125, "height": 1500}
    assert set(record["reference"]) == {"kind", "scale", "tilt_deg", "residual_px"}
    assert set(record["contact_area"]) == QUANTITY
    assert set(record["inked_area"]) == {"value", "unit", "why"}  # too coarse for ridges
    assert set(record["patches"][0]) == {
        "index",
        "contact_area",
        "inked_area",
        "centroid",
        "major_axis",
        "minor_axis",
        "direction",
    }
    assert set(record["prints"][0]) == {"index", "contact_area", "inked_area", "centroid", "patches"}
    assert set(record["patches"][0]["major_axis"]) == set(record["prints"][0]["contact_area"]) == QUANTITY
    assert set(record["set_aside"][0]) == {"kind", "area"}
    assert set(record["flags"][0]) == {"code", "message", "strike"}
    assert record["flags"][0]["strike"] is None


def test_both_forms_are_plain_json(found):
    for form in (as_dict, to_record):
        text = json.dumps(form(found, file="a.jpg", sha256="ab", size=(1, 2)), allow_nan=False)
        assert json.loads(text)["patches"][1]["index"] == 2


def test_the_stored_form_keeps_what_quantities_share(found):
    record = json.loads(json.dumps(to_record(found, file="a.jpg", sha256="ab", size=(1, 2))))
    contact = from_record(record["contact_area"])
    assert isinstance(contact, Quantity)
    assert contact.parts == found.contact_area.parts
    assert record["settings"] == FootprintSettings().as_dict()
    assert record["reference"]["said"] == found.reference.said


def test_the_overlay_is_a_readable_picture(found):
    picture = draw_overlay(found)
    assert picture.dtype == np.uint8
    assert picture.shape[2] == 3
    assert 600 <= max(picture.shape) <= 1700
    outline = (np.abs(picture.astype(int) - (214, 40, 120)).sum(axis=2) < 40).sum()
    assert outline > 500


def test_the_overlay_draws_its_outline_around_the_ink(found):
    picture = draw_overlay(found).astype(int)
    drawn = (np.abs(picture - (214, 40, 120)).sum(axis=2) < 60).astype(np.uint8)
    curves, _ = cv2.findContours(drawn, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    zoom = (found.picture.shape[1] * min(1280 / max(found.picture.shape[:2]), 6.0)) / found.box.width
    largest = max(map(cv2.contourArea, curves)) / zoom**2
    assert largest == pytest.approx(np.pi * 0.015**2, rel=0.06)


def test_a_tiny_print_has_an_overlay_too():
    found = measure_footprint(scan_of((0.06, 0.06, 0.002), dpi=300.0), reference="scan:300")
    assert draw_overlay(found).shape[1] >= 640
    decoded = cv2.imdecode(np.frombuffer(overlay_png(found), np.uint8), cv2.IMREAD_COLOR_RGB)
    assert decoded is not None


def test_settings_can_be_stored_and_change_what_counts_as_a_gap():
    ring = np.full((600, 600, 3), 255, np.uint8)
    cv2.circle(ring, (300, 300), 120, (20, 20, 20), -1)
    cv2.circle(ring, (300, 300), 12, (255, 255, 255), -1)
    usual = measure_footprint(ring, reference="scan:200")
    wide = measure_footprint(ring, reference="scan:200", settings=FootprintSettings(gap=0.005))
    assert wide.contact_area.value - usual.contact_area.value == pytest.approx(
        np.pi * (12 * 0.000127) ** 2, rel=0.1
    )
    assert wide.settings.as_dict()["gap"] == 0.005


def near(picture, colour):
    return int(np.count_nonzero(np.abs(picture.astype(int) - colour).max(axis=2) < 12))


def test_the_overlay_crosses_out_what_was_left_out_and_dashes_the_lasso():
    scan = scan_of((0.04, 0.04, 0.015), (0.09, 0.09, 0.01))
    lasso = ((0.02, 0.02), (0.06, 0.02), (0.108, 0.108), (0.02, 0.1))
    plain = draw_overlay(measure_footprint(scan, reference="scan:200"))
    by_hand = Corrections(leave_out=((0.09, 0.09),), lassos=(lasso,))
    drawn = draw_overlay(measure_footprint(scan, reference="scan:200", corrections=by_hand))
    blue, grey, red = (0, 90, 200), (110, 110, 110), (214, 40, 120)
    assert near(plain, blue) == 0
    assert near(drawn, blue) > 1000
    assert near(drawn, grey) > near(plain, grey) + 500
    assert 0 < near(drawn, red) < near(plain, red)
