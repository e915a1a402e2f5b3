import contextlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import TameshiError, UnreadableError, WrongUseError
from tameshi.force import Origin
from tameshi.readers import Asked, ReadOptions, prepare, read_columns, read_recording
from tameshi.readers import text as text_reader
from tests.readers.files import COUNT, CSV, FORCE, RATE, TIME, rows, text

LINES = rows()
WITH_MINUS = [line.replace("-", "−") for line in LINES]


def trace_of(data, options=None, **asked):
    recording = read_recording(data, "test.csv", options)
    trace, _ = prepare(recording, Origin("test.csv", "0" * 64), Asked(**asked))
    return trace


FOUND_WITHOUT_OPTIONS = {
    "comma": CSV,
    "semicolon and decimal comma": text("Zeit (s);Kraft (N)", rows(";", ",")),
    "tab, milliseconds, kilonewtons": text("t [ms]\tF [kN]", rows("\t", time_factor=1e3, force_factor=1e-3)),
    "spaces": text("time(s) force(N)", [line.replace(",", "   ") for line in LINES]),
    "leading spaces": text("  time_s   force_N", ["  " + line.replace(",", "  ") for line in LINES]),
    "bars": text("time (s)|force (N)", rows("|")),
    "preamble and a row of units": text("Some logger\nDate: 2026-01-02\n\nTime,Force\ns,N", LINES),
    "quotes": text(
        '"time (s)","force (N)"', [f'"{line.replace(",", chr(34) + "," + chr(34))}"' for line in LINES]
    ),
    "separator at the end of lines": text(
        "time (s);force (N);", [line.replace(",", ";") + ";" for line in LINES]
    ),
    "real minus signs": text("time (s),force (N)", WITH_MINUS),
    "line ends of another system": text("time (s),force (N)", LINES, "\r\n"),
    "line ends of an old system": text("time (s),force (N)", LINES, "\r"),
    "no last line end": CSV.rstrip(b"\n"),
    "byte order mark": b"\xef\xbb\xbf" + CSV,
    "UTF-16 with mark": CSV.decode().encode("utf-16"),
    "UTF-16 without mark": CSV.decode().encode("utf-16-le"),
    "Latin-1": text("time (s),force (N),temperature (°C)", [f"{line},21.5" for line in LINES])
    .decode()
    .encode("latin-1"),
    "zeros after power loss": CSV + b"\0" * 700,
    "a closing summary": CSV + b"\nMaximum;2000\nEnd of file\n",
    "rate in the preamble": text("Sample rate: 20 kHz\nforce (N)", [line.split(",")[1] for line in LINES]),
    "interval in the preamble": text(
        "# sampling interval = 50 us\nforce (N)", [line.split(",")[1] for line in LINES]
    ),
    "rows numbered besides": text(
        "sample,time (s),force (N)", [f"{place},{line}" for place, line in enumerate(LINES)]
    ),
}


@pytest.mark.parametrize("name", list(FOUND_WITHOUT_OPTIONS))
def test_the_layout_is_found_without_options(name):
    trace = trace_of(FOUND_WITHOUT_OPTIONS[name])
    assert trace.unit == "N"
    assert trace.rate == pytest.approx(RATE, rel=1e-9)
    assert trace.samples == pytest.approx(FORCE, abs=0.006)
    assert trace.flags == ()


def test_a_single_column_needs_its_rate():
    data = text("force (N)", [line.split(",")[1] for line in LINES])
    with pytest.raises(WrongUseError) as caught:
        trace_of(data)
    assert caught.value.code == "rate-unknown"
    assert trace_of(data, rate=RATE).rate == RATE


def test_a_single_column_with_decimal_commas():
    data = text("", [line.split(",")[1].replace(".", ",") for line in LINES])
    trace = trace_of(data, rate=RATE, force_scale="1 N")
    assert trace.samples == pytest.approx(FORCE, abs=1e-4)


def test_rounded_time_stamps_are_passed_over():
    trace = trace_of(text("time (s),force (N)", rows(time_digits=3)))
    assert len(trace.samples) == COUNT
    assert trace.rate == pytest.approx(RATE, rel=0.01)  # stamps to a millisecond over 0.1 s


def test_missing_stretches_are_flagged_and_left_open():
    trace = trace_of(text("time (s),force (N)", LINES[:500] + LINES[540:]))
    assert [flag.code for flag in trace.flags] == ["gap"]
    assert "40 samples are missing in one place" in trace.flags[0].message
    assert np.isnan(trace.samples[500:540]).all()
    assert trace.samples[540:] == pytest.approx(FORCE[540:], abs=1e-4)


def test_jittering_stamps_are_put_onto_an_even_grid_and_flagged():
    moved = TIME + np.random.default_rng(2).uniform(-0.2, 0.2, COUNT) / RATE
    lines = [f"{t:.8f},{f:.5f}" for t, f in zip(moved, FORCE, strict=True)]
    trace = trace_of(text("time (s),force (N)", lines))
    assert [flag.code for flag in trace.flags] == ["irregular-sampling"]
    assert trace.rate == pytest.approx(RATE, rel=1e-4)
    assert np.nansum(trace.samples) == pytest.approx(FORCE.sum(), rel=1e-3)


def test_repeated_stamps_are_left_out_and_flagged():
    trace = trace_of(text("time (s),force (N)", [*LINES[:700], LINES[699], *LINES[700:]]))
    assert [flag.code for flag in trace.flags] == ["irregular-sampling"]
    assert len(trace.samples) == COUNT


def test_time_running_backwards_is_refused_with_its_line():
    with pytest.raises(UnreadableError) as caught:
        trace_of(text("time (s),force (N)", LINES + LINES))
    assert caught.value.code == "time-runs-backwards"
    assert "line 2002" in caught.value.message


def test_with_a_rate_the_stamps_are_left_alone():
    data = text("time (s),force (N)", LINES + LINES)
    trace = trace_of(data, ReadOptions(count_samples=True), rate=RATE)
    assert len(trace.samples) == 2 * COUNT


def test_a_time_column_without_a_unit_that_cannot_be_seconds_is_refused():
    with pytest.raises(UnreadableError) as caught:
        trace_of(text("time,force (N)", rows(time_factor=1e3)))
    assert caught.value.code == "time-unit-unclear"


def test_not_a_number_is_a_gap():
    lines = [line if place % 400 else f"{line.split(',')[0]},NaN" for place, line in enumerate(LINES)]
    trace = trace_of(text("time (s),force (N)", lines))
    assert [flag.code for flag in trace.flags] == ["gap"]
    assert int(np.isnan(trace.samples).sum()) == 5


def test_overflow_text_is_a_gap():
    lines = [
        line if not 650 < place < 655 else f"{line.split(',')[0]},OVF" for place, line in enumerate(LINES)
    ]
    assert int(np.isnan(trace_of(text("time (s),force (N)", lines)).samples).sum()) == 4


def test_a_cut_off_last_line_is_left_out_and_flagged():
    trace = trace_of(CSV + b"0.1")
    assert [flag.code for flag in trace.flags] == ["cut-off"]
    assert len(trace.samples) == COUNT


@pytest.mark.parametrize(
    ("data", "status", "code"),
    [
        (b"", 3, "empty-file"),
        (b" \n\t\r\n", 3, "empty-file"),
        (b"\0" * 4000, 3, "empty-file"),
        (b"hello\nthis is only text\n", 3, "no-numbers"),
        (text("time (s)", [line.split(",")[0] for line in LINES]), 3, "no-samples"),
        (text("time (s),force (N)", [f"{line.split(',')[0]},NaN" for line in LINES]), 3, "no-numbers"),
        (text("time (s),force (bananas)", LINES), 2, "wrong-unit"),
        (text("time (s),temperature (°C)", LINES), 2, "wrong-unit"),
        (text("time (s),force", LINES), 2, "unit-unknown"),
        (text("time (s),volts", LINES), 2, "scale-unknown"),
        (text("time (s),a (V),b (V)", [f"{line},1.0" for line in LINES]), 2, "channel-unclear"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4, 3, "not-a-recording"),
        (np.random.default_rng(0).bytes(5000), 3, "not-a-recording"),
    ],
)
def test_bad_input_gets_one_clear_message(data, status, code):
    with pytest.raises(TameshiError) as caught:
        trace_of(data)
    assert (caught.value.code, caught.value.exit_status) == (code, status)
    assert caught.value.hint


@pytest.mark.parametrize("name", ["Plate", "plate", "late"])
def test_a_channel_is_picked_by_name(name):
    data = text("time (s),Plate (N),Wall (N)", [f"{line},7.0" for line in LINES])
    assert trace_of(data, channel=name).origin.channel == "Plate"


def test_an_unknown_channel_lists_those_there_are():
    data = text("time (s),Plate (N),Wall (N)", [f"{line},7.0" for line in LINES])
    with pytest.raises(WrongUseError) as caught:
        trace_of(data, channel="Floor")
    assert caught.value.hint == "Channels: Plate [N], Wall [N]."


@pytest.mark.parametrize(
    "data",
    [
        b" \xc5\n0000  021",
        b"Zeit (s);Kr\x01\x00\x08\x94\x00,0.N( af)\n0,000000;0,",
        b'0\r",,\n-inf\ninf\n',
        b"t (s),F (N)\n1e308,1\n1.5e308,2\n1.7e308,-1e308\n",
        b"t (s),F (N)\n-1.7e308,1e308\n0,1e308\n1.7e308,1e308\n",
        b"t (h),F (N)\n1e307,1\n2e307,2\n3e307,3\n",
    ],
)
def test_what_fuzzing_found_is_read_or_refused(data):
    # short lines before a last one without its end; the only row cut off; infinite both ways; too large
    with contextlib.suppress(UnreadableError):
        assert text_reader.decode(data, "fuzz.txt", ReadOptions()).channels


def test_columns_of_a_table_as_they_stand():
    load, reading = read_columns(b"load (N),reading (mV)\n0,0.1\n500,100.2\n1000,200.1\n", "points.csv")
    assert (load.unit, reading.unit) == ("N", "mV")
    assert load.samples.tolist() == [0.0, 500.0, 1000.0]


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400))
def test_no_bytes_whatever_break_the_reader(data):
    try:
        recording = read_recording(data, "any.bin")
    except TameshiError:
        return
    assert all(len(channel.samples) for channel in recording.channels)


@settings(max_examples=100, deadline=None)
@given(st.text(alphabet="0123456789.,;-+eE \t\nabsNV()[]\"'", max_size=300))
def test_no_text_of_numbers_whatever_breaks_the_reader(drawn):
    try:
        read_recording(drawn.encode(), "any.csv")
    except TameshiError as error:
        assert error.message  # noqa: PT017


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(CSV)))
def test_a_file_cut_anywhere_is_read_or_refused(cut):
    try:
        trace = trace_of(CSV[:cut])
    except TameshiError:
        return
    assert len(trace.samples) <= COUNT
