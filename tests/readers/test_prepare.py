import pytest

from tameshi.errors import WrongUseError
from tameshi.force import Origin
from tameshi.readers import Asked, prepare, read_recording
from tests.readers.files import FORCE, RATE, rows, text
from tests.rig.rigs import rig

LINES = rows(force_factor=1e-3)


def prepared(heading, **asked):
    recording = read_recording(text(heading, LINES), "test.csv")
    return prepare(recording, Origin("test.csv", "0" * 64), Asked(**asked))


@pytest.mark.parametrize(
    ("heading", "scale", "peak"),
    [
        ("time (s),plate (V)", "2.5 kN/V", 2500.0 * 2.0),
        ("time (s),plate (mV)", "2.5 kN/V", 2.5 * 2.0),
        ("time (s),volts", "1 kN/V", 2000.0),
        ("time (s),plate", "1 kN/V", 2000.0),
        ("time (s),plate", "1 N", 2.0),
        ("time (s),plate (V)", "-1 kN/V", -2000.0),
    ],
)
def test_a_typed_scale(heading, scale, peak):
    trace, conversion = prepared(heading, force_scale=scale)
    forces = conversion.to_force(trace.samples)
    assert forces[abs(forces).argmax()] == pytest.approx(peak, rel=0.01)
    assert conversion.origin == "stated scale"


@pytest.mark.parametrize(
    ("heading", "factor"), [("F (kN)", 1000.0), ("force (lbf)", 4.4482216152605), ("load (kgf)", 9.80665)]
)
def test_a_force_in_the_file(heading, factor):
    trace, conversion = prepared(f"time (s),{heading}")
    assert trace.unit == "N"
    assert trace.samples.max() == pytest.approx(FORCE.max() * 1e-3 * factor, rel=1e-3)
    assert conversion.origin == "newtons in the file"


def test_a_weight_is_read_as_a_force_openly():
    trace, _ = prepared("time (s),weight (kg)")
    assert trace.samples.max() == pytest.approx(FORCE.max() * 1e-3 * 9.80665, rel=1e-3)
    assert [flag.code for flag in trace.flags] == ["unit-assumed"]


def test_an_acceleration_is_no_weight():
    with pytest.raises(WrongUseError) as caught:
        prepared("time (s),accel (g)")
    assert caught.value.code == "wrong-unit"
    trace, _ = prepared("time (s),accel (g)", force_scale="5 N")
    assert trace.samples.max() == pytest.approx(2.0, rel=0.01)


def test_a_bridge_output_with_a_rig():
    trace, conversion = prepared("time (s),bridge (mV/V)", rig=rig())
    # 2 mV/V is the cell's capacity, 5 kN
    assert conversion.to_force(trace.samples).max() == pytest.approx(
        5000.0 * FORCE.max() * 1e-3 / 2.0, rel=1e-3
    )


def test_a_column_without_unit_behind_a_rig_is_volts_openly():
    trace, conversion = prepared("time (s),channel 1", rig=rig())
    assert (trace.unit, conversion.origin) == ("V", "ratings")
    assert [flag.code for flag in trace.flags] == ["unit-assumed"]


@pytest.mark.parametrize(
    ("heading", "asked", "code"),
    [
        ("time (s),force (N)", {"force_scale": "2 kN/V"}, "unit-conflict"),
        ("time (s),plate (V)", {"force_scale": "2 kN"}, "wrong-scale"),
        ("time (s),force", {"rig": rig()}, "unit-unknown"),
        ("time (s),plate (V)", {}, "scale-unknown"),
    ],
)
def test_what_contradicts_itself_is_refused(heading, asked, code):
    with pytest.raises(WrongUseError) as caught:
        prepared(heading, **asked)
    assert caught.value.code == code


def test_recordings_of_one_stated_scale_and_rig_share_its_error():
    one = prepared("time (s),plate (V)", force_scale="1 kN/V", rig=rig())[1]
    other = prepared("time (s),plate (V)", force_scale="1 kN/V", rig=rig())[1]
    assert one.errors[0].source == other.errors[0].source


def test_the_rate_a_person_gives_takes_the_place_of_the_files():
    recording = read_recording(text("time (s),force (N)", LINES), "test.csv")
    trace, _ = prepare(recording, Origin("a", "b"), Asked(rate=2.0 * RATE))
    assert trace.rate == 2.0 * RATE
    assert [flag.code for flag in trace.flags] == ["rate-conflict"]
    assert trace.flags[0].message == "40000 samples a second were taken; the file itself says 20000."


def test_a_rate_that_the_rig_file_does_not_know_is_told():
    trace, _ = prepared("time (s),plate (V)", rig=rig(('"20 kHz"', '"10 kHz"')))
    assert [flag.code for flag in trace.flags] == ["rate-conflict"]
    assert "the rig file says 10000" in trace.flags[0].message
    agreed, _ = prepared("time (s),plate (V)", rig=rig(), rate=1.005 * RATE)
    assert agreed.flags == ()
