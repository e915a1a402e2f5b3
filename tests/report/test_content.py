"""What a report says is what was stored, to the last digit."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, from_record, show
from tameshi.report import make_report
from tameshi.report.frame import PRINT_AREAS, STRIKE_FIGURES
from tameshi.study import join_study, measure_all, open_study, recordings, results, unpacked
from tests.report.club import AT, empty


@pytest.fixture(scope="module")
def measured(study, report):  # noqa: ARG001  the report is what measured it
    return measure_all(study, at=AT)


def digits(shown) -> list[str]:
    """Return the digits without their point, which one unit for a whole column may move."""
    return [text.replace(".", "").lstrip("0") for text in (shown.value, shown.low, shown.high)]


def test_every_figure_of_every_strike_is_the_stored_one(report, measured):
    stored = [strike for _, outcome in measured[0] for strike in outcome.body.get("strikes", ())]
    assert len(stored) == len(report.strikes) == 5
    for strike, record in zip(report.strikes, stored, strict=True):
        for key, name in STRIKE_FIGURES.items():
            entry, quantity = strike.figure(name), from_record(record[key])
            assert entry.measured == quantity or vars_of(entry.measured) == vars_of(quantity)
            if isinstance(quantity, Quantity):
                assert [digits(one) for one in entry.shown] == [
                    digits(show(quantity, system)) for system in ("si", "us")
                ]


def vars_of(quantity) -> tuple[object, ...]:
    return quantity.value, quantity.unit, dict(quantity.parts), quantity.interval


def test_every_area_of_every_print_is_the_stored_one(report, measured):
    shown = [part for part in report.prints if part.refused is None]
    stored = [outcome.body for _, outcome in measured[1] if outcome.error is None]
    for part, body in zip(shown, stored, strict=True):
        for named, key in zip(part.areas, PRINT_AREAS, strict=True):
            assert vars_of(named.entry.measured) == vars_of(from_record(body[key]))
        assert len(part.patches) == len(body["patches"])


def test_every_pressure_is_the_joined_one_with_its_band(report, measured):
    joined = join_study(*measured)
    for strike, one in zip(report.strikes, joined, strict=True):
        assert (strike.pressure is None) == (one.pressure is None)
        if one.pressure is None:
            assert strike.why_no_pressure == one.why
            continue
        part, band = strike.pressure, one.pressure.band
        assert part.mean.measured.value == one.pressure.mean_pressure.value
        mildest, sharpest = part.local[0][1].measured, part.local[-1][1].measured
        assert mildest.value == pytest.approx(band.low, rel=1e-12)
        assert sharpest.value == pytest.approx(band.high, rel=1e-12)
        assert mildest.low == pytest.approx(band.lowest, rel=1e-12)
        assert sharpest.high == pytest.approx(band.highest, rel=1e-12)
        assert part.area_from == one.pressure.area_from
        assert [link.words for link in part.prints] == [each.original.name for each in one.prints]


def test_the_whole_palm_heel_recording_uses_its_own_print_only_for_its_strike(report):
    palms = [strike for strike in report.strikes if "palm.csv" in strike.place.words]
    assert [strike.pressure.area_from for strike in palms] == ["typical print", "own print"]


def test_a_curve_keeps_the_peak_of_what_it_draws(report, measured):
    outcomes = [outcome for _, outcome in measured[0] if outcome.error is None]
    curves = [curve for outcome in outcomes for curve in unpacked(outcome.files["curves.npz"])]
    for strike, curve in zip(report.strikes, curves, strict=True):
        drawn = strike.curve.force.force
        assert drawn.max() == pytest.approx(curve["force"].max(), rel=0.003)
        assert len(drawn) < 300


def test_shading_holds_the_stored_impulse(report):
    for strike in report.strikes:
        drawing, impulse = strike.curve, strike.figure("Impulse").measured
        if drawing.shaded is None:
            assert not isinstance(impulse, Quantity)
            continue
        time = np.linspace(drawing.shaded[0], drawing.shaded[1], 5000)
        area = np.trapezoid(np.interp(time, drawing.force.time, drawing.force.force), time)
        assert area == pytest.approx(impulse.value, rel=0.01)


def test_a_reading_stands_beside_the_force_only_where_it_differs(report):
    # a cut-off reading is not worked back, so there is nothing to stand beside it
    for strike in report.strikes:
        assert (strike.curve.reading is None) == any("cut off" in str(remark) for remark in strike.remarks)


def test_shares_of_a_budget_add_up_to_one(report):
    for part in (*report.strikes, *report.prints):
        for panel in part.budget.panels if part.budget else ():
            assert sum(share for _, share in panel.shares) == pytest.approx(1.0)


def test_every_budget_line_shown_has_a_meaning(report):
    assert report.budget_lines
    assert all(report.budget_lines.values())


def test_a_cut_off_top_is_told_as_a_lower_bound_with_the_reason(report):
    peak = next(strike for strike in report.strikes if strike.remarks[0].code == "clipped").figure(
        "Peak force"
    )
    assert peak.shown == ()
    assert str(peak).startswith("at least ")
    assert "cut off" in peak.why


def test_files_that_cannot_be_measured_stand_in_their_place(report):
    refused = {one.place.words: one for one in report.summary.refused}
    assert set(refused) == {"list.csv", "bench.png"}
    assert all(one.message and one.hint and one.code for one in refused.values())
    place = next(part for part in report.recordings if part.place.words == "list.csv")
    assert place.refused == refused["list.csv"]


def test_a_recording_without_strikes_says_so(report):
    hall = next(part for part in report.recordings if part.place.words == "hall.csv")
    assert hall.strikes == ()
    assert "no-strike" in [one.code for one in hall.remarks]


def test_a_technique_without_a_print_says_so(report):
    knee = next(part for part in report.summary.techniques if part.name == "Knee")
    assert knee.mean_pressure is None
    assert "no print" in knee.story


def test_a_mean_that_leaves_strikes_out_says_so(report):
    fist = next(part for part in report.summary.techniques if part.name == "Hammer fist")
    assert (fist.strikes, fist.with_peak, fist.prints) == (2, 1, 1)
    assert "left out" in fist.story
    assert "one print only" in fist.story


def test_every_flag_raised_anywhere_is_listed_with_its_places(report):
    listed = {flag.code: flag for flag in report.flags}
    raised = {one.code for part in report.strikes for one in part.remarks}
    raised |= {one.code for part in (*report.recordings, *report.prints) for one in part.remarks}
    assert raised <= set(listed)
    assert "few-prints" in listed
    assert all(flag.advice and flag.places for flag in listed.values())


def test_methods_take_their_numbers_from_the_stored_settings(report, measured):
    settings = next(outcome.body["settings"] for _, outcome in measured[0] if outcome.error is None)
    words = {one.title: one.words for one in report.methods}
    assert f"{100 * settings['onset_share']:g} % of its peak" in words["Figures of a strike"]
    assert f"{1000 * settings['joined_gap']:g} ms apart" in words["Finding strikes"]
    assert "15 % that counts as 4 degrees of freedom" in words["Typical print"]
    assert "{" not in "".join(words.values())


def test_provenance_names_every_file_with_its_hash(study, report):
    named = {one.sha256 for one in report.provenance.files}
    assert {recording.original.sha256 for recording in recordings(study)} <= named
    assert len(named) == 11
    assert [one.title for one in report.provenance.settings] == ["Strikes", "Prints"]


def test_a_time_without_a_zone_is_refused(study):
    with pytest.raises(WrongUseError, match="time zone"):
        make_report(study, at=datetime(2026, 1, 1))  # noqa: DTZ001  that is the point


def test_progress_is_told_of_every_file(study):
    told: list[str] = []
    make_report(study, at=AT, progress=told.append)
    assert len(told) == 10


def test_a_study_that_cannot_be_written_is_reported_all_the_same(study, report):
    with open_study(study.folder, read_only=True) as closed:
        assert make_report(closed, at=AT).summary.opening == report.summary.opening


def test_making_a_report_twice_stores_nothing_twice(study, report):
    before = len(results(study))
    make_report(study, at=AT + timedelta(days=1))
    assert len(results(study)) == before
    assert report.at == AT.astimezone(UTC)


def test_us_units_come_first_where_the_study_says_so(tmp_path):
    with empty(tmp_path / "s", units="us") as made:
        assert make_report(made, at=AT).notation.systems == ("us", "si")
