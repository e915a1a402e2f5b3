"""Which reference is taken, and what it says of the picture."""

import numpy as np
import pytest

from tameshi.footprint import KINDS, measure_footprint
from tests.footprint.scenes import MIDDLE, drawn_sheet, scan_of, simple_photo


def test_auto_takes_the_markers_and_says_so():
    reference = measure_footprint(simple_photo()).reference
    assert reference.kind == "target"
    assert reference.said.startswith("Target sheet (a4), all four markers")


def test_auto_takes_a_scanner_resolution_and_says_so():
    reference = measure_footprint(scan_of((0.06, 0.06, 0.01)), dpi=200.0).reference
    assert reference.kind == "scan"
    assert reference.said == "Flatbed scan at 200 pixels an inch, as written in the file."
    assert reference.scale == pytest.approx(0.0254 / 200.0)
    assert reference.tilt_deg == 0.0


def test_markers_on_a_scanned_sheet_go_before_the_scanners_word():
    reference = measure_footprint(drawn_sheet((*MIDDLE, 0.02)), dpi=150.0).reference
    assert reference.kind == "target"


@pytest.mark.parametrize("dpi", [72.0, 96.0])
def test_a_resolution_that_no_scanner_wrote_is_not_believed(dpi):
    from tameshi.errors import UnmeasurableError

    with pytest.raises(UnmeasurableError, match="Nothing in the picture gives its scale"):
        measure_footprint(scan_of((0.06, 0.06, 0.01)), dpi=dpi)


def test_a_stated_resolution_goes_before_the_files():
    stated = measure_footprint(scan_of((0.06, 0.06, 0.01)), reference="scan:400", dpi=200.0)
    assert stated.reference.scale == pytest.approx(0.0254 / 400.0)


def test_a_scanner_with_two_resolutions_is_read_with_both():
    squeezed = scan_of((0.06, 0.06, 0.02), dpi=300.0)[:, ::2]
    found = measure_footprint(np.ascontiguousarray(squeezed), dpi=(150.0, 300.0))
    assert found.contact_area.value == pytest.approx(np.pi * 0.02**2, rel=0.01)


def test_letter_sheets_are_recognised():
    reference = measure_footprint(simple_photo(paper="letter")).reference
    assert "(letter)" in reference.said


def test_the_registry_lists_kinds_by_the_names_people_type():
    assert [kind.name for kind in KINDS] == ["target", "scan", "sheet", "grid", "ruler", "points"]
    for kind in KINDS:
        assert kind.form.startswith(kind.name)


def test_two_scans_share_the_error_of_the_scanner():
    one = measure_footprint(scan_of((0.06, 0.06, 0.01)), reference="scan:200", key="one").contact_area
    other = measure_footprint(scan_of((0.06, 0.06, 0.012)), reference="scan:200", key="other").contact_area
    assert "scanner's scale" in one.budget
    assert (one / other).budget.get("scanner's scale", 0.0) < 1e-9
