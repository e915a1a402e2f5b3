"""Studies that hold little: nothing, only recordings, only prints, only what cannot be measured."""

from tameshi.demo.prints import hammer_fist, palm_heel
from tameshi.demo.pulses import half_sine
from tameshi.report import export_tables, make_report, to_html
from tameshi.study import PrintDescription, RecordingDescription
from tests.report.club import AT, RIG, File, add, as_csv, empty, scan, told, volts
from tests.report.reading import read

SCALED = RecordingDescription(technique="elbow", force_scale="4 kN/V")


def recording(seed: int = 1) -> bytes:
    return as_csv(volts(half_sine(2900.0, 0.009, 0.4), seed=seed))


def headings(page: str) -> list[str]:
    return [one.text.strip() for one in read(page).all("h2")]


def test_a_study_with_nothing_in_it_says_so(tmp_path):
    report = told(tmp_path / "s", [])
    assert "no recording and no picture" in report.summary.opening[0]
    assert headings(to_html(report)) == ["Summary", "Cautions", "Files and settings"]


def test_only_recordings_make_a_report_without_pressure(tmp_path):
    report = told(tmp_path / "s", [(recording(), "a.csv", "recording", SCALED)])
    (strike,) = report.strikes
    assert strike.pressure is None
    assert strike.why_no_pressure == "there is no print of elbow to take an area from"
    assert len(report.summary.drawings) == 1
    page = to_html(report)
    assert "Contact prints" not in headings(page)
    assert "Mean pressure" not in {one.title for one in report.methods}


def test_only_prints_make_a_report_of_areas(tmp_path):
    said = PrintDescription(technique="hammer fist")
    report = told(tmp_path / "s", [(scan(hammer_fist), "a.png", "print", said)])
    (technique,) = report.summary.techniques
    assert technique.strikes == 0
    assert technique.peak_force is None
    assert technique.contact_area is not None
    assert report.summary.drawings == ()
    assert "Strikes" not in headings(to_html(report))
    assert {one.title for one in report.methods} >= {"Contact area", "Uncertainty"}


def test_only_files_that_cannot_be_measured_make_a_report_of_reasons(tmp_path):
    files: list[File] = [
        (b"nothing here", "a.csv", "recording", None),
        (b"nor here", "b.png", "print", None),
        (recording(), "c.csv", "recording", RecordingDescription(channel_class="soft")),
        (recording(2), "d.csv", "recording", RecordingDescription(force_scale="heavy")),
    ]
    report = told(tmp_path / "s", files)
    assert {one.place.words for one in report.summary.refused} == {"a.csv", "b.png", "c.csv", "d.csv"}
    assert report.methods == ()
    assert report.flags == ()
    page = to_html(report)
    assert page.count("Not measured.") == 4


def test_what_nobody_described_is_measured_and_shown(tmp_path):
    said = RecordingDescription(force_scale="4 kN/V")
    files: list[File] = [(recording(), "a.csv", "recording", said), (scan(palm_heel), "b.png", "print", None)]
    report = told(tmp_path / "s", files)
    assert [part.name for part in report.summary.techniques] == ["Technique not named"]
    assert report.strikes[0].why_no_pressure.startswith("the recording names no technique")
    to_html(report)


def test_strikes_through_different_pads_are_not_pooled(tmp_path):
    with empty(tmp_path / "s") as study:
        for number, pad in enumerate(("felt, 6 mm", "rubber, 10 mm")):
            rig = add(study, RIG.replace("felt, 6 mm", pad).encode(), f"{number}.toml", "rig")
            said = RecordingDescription(technique="elbow", rig=rig.sha256)
            add(study, recording(number), f"{number}.csv", "recording", said)
        add(study, scan(palm_heel), "p.png", "print", PrintDescription(technique="elbow"))
        report = make_report(study, at=AT)
    names = [part.name for part in report.summary.techniques]
    assert names == ["Elbow, pad: felt, 6 mm", "Elbow, pad: rubber, 10 mm"]
    assert [part.prints for part in report.summary.techniques] == [1, 1]


def test_a_pad_nobody_named_is_not_pooled_with_a_bare_plate_and_is_told(tmp_path):
    with empty(tmp_path / "s") as study:
        for number, plate in enumerate(('pad = "none"', "")):
            rig = add(study, RIG.replace('pad = "felt, 6 mm"', plate).encode(), f"{number}.toml", "rig")
            said = RecordingDescription(technique="elbow", rig=rig.sha256, speed=7.0)
            add(study, recording(number), f"{number}.csv", "recording", said)
        report = make_report(study, at=AT)
    names = [part.name for part in report.summary.techniques]
    assert names == ["Elbow, pad: none", "Elbow, pad: not known"]
    facts = [{fact.name: fact.words for fact in part.facts} for part in report.recordings]
    assert [one["Pad"] for one in facts] == ["none", "not said"]
    assert facts[0]["Speed at contact"] == "7.000 m/s [22.97 ft/s]"
    assert "pad-not-said" in {met.code for met in report.flags}


def test_words_of_any_script_are_shown(tmp_path):
    said = RecordingDescription(technique="掌底打ち", force_scale="4 kN/V")
    report = told(tmp_path / "s", [(recording(), "記録.csv", "recording", said)])
    page = to_html(report)
    assert "掌底打ち" in page
    assert "記録.csv" in page


def test_tables_of_an_empty_study_have_heads_and_no_rows(tmp_path):
    with empty(tmp_path / "s") as study:
        tables = export_tables(study, at=AT)
    assert [(table.name, list(table.rows)) for table in tables] == [
        ("strikes", []),
        ("prints", []),
        ("contacts", []),
        ("sheet_prints", []),
        ("pressures", []),
        ("targets", []),
        ("films", []),
    ]
