import pytest

from tameshi.errors import WrongUseError
from tameshi.study import PrintDescription, RecordingDescription, describe, prints, recordings
from tests.study.samples import PRINT, RECORDING, RIG, add, fill


def test_everything_said_about_a_recording_comes_back(study):
    rig = add(study, RIG, "post.toml", "rig")
    said = RecordingDescription(
        technique="palm heel",
        athlete="A07",
        session="second Tuesday",
        side="left",
        note="pad slipped\nplate wiped",
        rig=rig.sha256,
        channel="force",
        force_scale="-2.5 kN/V",
        rate=20_000.0,
        channel_class="1000",
    )
    original = add(study, RECORDING, "a.csv", description=said)
    assert [(one.original, one.description) for one in recordings(study)] == [(original, said)]


def test_everything_said_about_a_print_comes_back(study):
    recording = add(study, RECORDING, "a.csv")
    said = PrintDescription(
        technique="palm heel",
        athlete="A07",
        session="second Tuesday",
        reference="scan:600",
        bar_length=0.0998,
        paper="a4",
        recording=recording.sha256,
        strike=3,
        note="second sheet",
    )
    original = add(study, PRINT, "ink.png", "print", said)
    assert [(one.original, one.description) for one in prints(study)] == [(original, said)]


def test_a_print_without_a_strike_is_typical_of_its_technique(study):
    add(study, PRINT, "ink.png", "print", PrintDescription(technique="palm heel"))
    assert prints(study)[0].description.is_typical


def test_describing_completes_and_replacing_forgets(study):
    _, recording, _, _ = fill(study)
    changed = describe(study, recording.sha256, RecordingDescription(side="left"))
    assert changed == ("side",)
    assert recordings(study)[0].description.technique == "hammer fist"
    new = RecordingDescription(side="left", note="only this")
    assert describe(study, recording.sha256, new, replace=True) == ("technique", "athlete", "note", "rig")
    assert recordings(study)[0].description == new


def test_a_print_can_be_made_typical_again(study):
    _, _, ink, _ = fill(study)
    describe(study, ink.sha256, PrintDescription(technique="hammer fist"), replace=True)
    assert prints(study)[0].description.is_typical


def test_only_known_originals_are_described(study):
    with pytest.raises(WrongUseError) as caught:
        describe(study, "0" * 64, RecordingDescription())
    assert caught.value.code == "unknown-original"


@pytest.mark.parametrize("athlete", ["Ada Byron", "A 07", "ada@club.example", "a\tb"])
def test_names_and_addresses_of_athletes_are_refused_with_a_code_to_use(athlete):
    for form in (RecordingDescription, PrintDescription):
        with pytest.raises(WrongUseError) as caught:
            form(athlete=athlete)
        assert caught.value.code == "not-a-code"
        assert "A07" in caught.value.hint


@pytest.mark.parametrize("athlete", ["A07", " A07 ", "left-hander_2", "７"])
def test_codes_of_athletes_are_kept(athlete):
    assert RecordingDescription(athlete=athlete).athlete == athlete.strip()


def test_text_is_tidied_and_nothing_left_is_nothing_said():
    said = RecordingDescription(
        technique=" palm \x1b[31m heel\n", session="  ", note=" a \x00b\r\n\n c\u202e "
    )
    assert (said.technique, said.session, said.note) == ("palm [31m heel", None, "a b\n\nc")


@pytest.mark.parametrize(
    ("form", "field", "value", "code"),
    [
        (RecordingDescription, "technique", "k" * 121, "too-long"),
        (RecordingDescription, "note", "k" * 2001, "too-long"),
        (RecordingDescription, "athlete", "k" * 33, "too-long"),
        (RecordingDescription, "side", "up", "unknown-side"),
        (RecordingDescription, "rate", 0.0, "out-of-range"),
        (RecordingDescription, "rate", float("nan"), "out-of-range"),
        (PrintDescription, "bar_length", -0.1, "out-of-range"),
        (PrintDescription, "strike", 1, "strike-incomplete"),
        (PrintDescription, "recording", "0" * 64, "strike-incomplete"),
    ],
)
def test_what_cannot_be_is_refused(form, field, value, code):
    with pytest.raises(WrongUseError) as caught:
        form(**{field: value})
    assert caught.value.code == code


@pytest.mark.parametrize("strike", [0, -1, 10**30])
def test_strikes_are_counted_from_one(strike):
    with pytest.raises(WrongUseError) as caught:
        PrintDescription(recording="0" * 64, strike=strike)
    assert caught.value.code == "out-of-range"
