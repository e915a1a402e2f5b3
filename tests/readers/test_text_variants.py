"""Text as loggers in the field write it: clocks, stated intervals, units, overflow, odd bytes."""

import numpy as np
import pytest

from tameshi.errors import UnreadableError
from tameshi.force import Origin
from tameshi.readers import Asked, prepare, read_recording
from tests.readers.files import COUNT, CSV, FORCE, RATE, TIME, rows, text

LINES = rows()
VALUES = [line.split(",")[1] for line in LINES]


def trace_of(data, **asked):
    return prepare(read_recording(data, "test.csv"), Origin("test.csv", "0" * 64), Asked(**asked))[0]


def clock(at, form="{h:02d}:{m:02d}:{s:02d}.{f:05d}"):
    """Return a time of day; ``at`` counts steps of 50 µs from 23:59:59.95, written to 10 µs."""
    ticks = (86_400 * 100_000 - 5_000 + 5 * at) % (86_400 * 100_000)
    whole, fraction = divmod(ticks, 100_000)
    return form.format(
        h=whole // 3600, m=whole // 60 % 60, s=whole % 60, f=fraction, half=(whole // 3600) % 12
    )


def clocked(heading, prefix=("", ""), form="{h:02d}:{m:02d}:{s:02d}.{f:05d}", sign=".", suffix="", sep=";"):
    day = [prefix[0] if place < 1000 else prefix[1] for place in range(COUNT)]
    return text(
        heading,
        [
            f"{day[place]}{clock(place, form)}{suffix}{sep}{VALUES[place].replace('.', sign)}"
            for place in range(COUNT)
        ],
    )


CLOCKS = {
    "clock over midnight": clocked("time;force (N)"),
    "clock, tabs": clocked("Uhrzeit\tKraft (N)", sep="\t"),
    "clock, comma in the fraction": clocked(
        "Zeit;Kraft (N)", form="{h:02d}:{m:02d}:{s:02d},{f:05d}", sign=","
    ),
    "clock in a comma file": clocked("time,force (N)", sep=","),
    "international date": clocked("time;force (N)", ("2026-11-20T", "2026-11-21T"), suffix="Z"),
    "international date, a blank between, a zone": clocked(
        "time;force (N)", ("2026-11-20 ", "2026-11-21 "), suffix="+01:00"
    ),
    "day first": clocked(
        "Datum/Zeit;Kraft (N)",
        ("31.12.2026 ", "01.01.2027 "),
        form="{h:02d}:{m:02d}:{s:02d},{f:05d}",
        sign=",",
    ),
    "month first": clocked("time;force (N)", ("11/30/2026 ", "12/1/2026 ")),
    "months either way round": clocked("time;force (N)", ("11/06/2026 ", "11/07/2026 ")),
    "date and clock in two columns": clocked("date;time;force (N)", ("2026-11-20;", "2026-11-21;")),
    "date and clock set apart by blanks": clocked(
        "date time force_N", ("2026-11-20 ", "2026-11-21 "), sep="   "
    ),
    "two-digit years": clocked("time;force (N)", ("20.11.26 ", "21.11.26 ")),
    "no heading": clocked(""),
}


@pytest.mark.parametrize("name", list(CLOCKS))
def test_clock_times_are_read(name):
    asked = {"force_scale": "1 N"} if name == "no heading" else {}
    trace = trace_of(CLOCKS[name], **asked)
    assert trace.rate == pytest.approx(RATE, rel=1e-6)
    assert trace.samples == pytest.approx(FORCE, abs=1e-4)
    assert trace.flags == ()


@pytest.mark.parametrize("name", [name for name in CLOCKS if name != "no heading"])
def test_clocks_written_alike_are_read_as_those_that_are_not(name):
    # a blank before one clock time leaves the quick way
    lines = CLOCKS[name].split(b"\n")
    other = [*lines[:1200], b" " + lines[1200], *lines[1201:]]
    quick, slow = trace_of(b"\n".join(lines)), trace_of(b"\n".join(other))
    assert quick.rate == pytest.approx(slow.rate, rel=1e-12)
    assert np.array_equal(quick.samples, slow.samples)


def test_a_zone_that_changes_is_followed():
    # clocks set back by an hour in the middle: universal time goes on
    hours = ["2" if place < 1000 else "1" for place in range(COUNT)]
    lines = [
        f"2026-10-25T0{hour}:30:00.{50 * place:06d}+0{hour}:00;{value}"
        for place, (hour, value) in enumerate(zip(hours, VALUES, strict=True))
    ]
    assert trace_of(text("time;force (N)", lines)).rate == pytest.approx(RATE)


def test_twelve_hours_pass_noon():
    lines = [
        f"{'11:59:59' if place < 1000 else '12:00:00'}.{(50 * place + 950_000) % 1_000_000:06d} "
        f"{'AM' if place < 1000 else 'PM'};{VALUES[place]}"
        for place in range(COUNT)
    ]
    assert trace_of(text("time;force (N)", lines)).rate == pytest.approx(RATE)


def test_minutes_and_seconds_alone_are_time_that_passed():
    lines = [f"00:{t:08.5f};{value}" for t, value in zip(TIME, VALUES, strict=True)]
    assert trace_of(text("elapsed;force (N)", lines)).rate == pytest.approx(RATE)


def test_a_gap_in_clock_times_is_flagged():
    lines = CLOCKS["clock over midnight"].split(b"\n")
    trace = trace_of(b"\n".join(lines[:501] + lines[541:]))
    assert [flag.code for flag in trace.flags] == ["gap"]


OTHERS = {
    "microseconds": text("t (µs);F (N)", rows(";", time_factor=1e6, time_digits=1)),
    "microseconds in letters": text("time_us,force_N", rows(time_factor=1e6, time_digits=1)),
    "microseconds in Latin-1": text("t [µs];F [N]", rows(";", time_factor=1e6, time_digits=1))
    .decode()
    .encode("latin-1"),
    "time in words": text("milliseconds,newtons", rows(time_factor=1e3)),
    "units alone as a header": text("s;N", rows(";")),
    "a unit after in": text("Zeit in ms;Kraft in kN", rows(";", time_factor=1e3, force_factor=1e-3)),
    "sample numbers, interval": text(
        "Sampling interval (µs);50\nsample;force (N)", [f"{n};{v}" for n, v in enumerate(VALUES)]
    ),
    "sample numbers, rate with a decimal comma": text(
        "Abtastrate: 20,0 kHz\nNr;Kraft (N)", [f"{n};{v.replace('.', ',')}" for n, v in enumerate(VALUES)]
    ),
    "rate with a thousands sign": text('Rate,"20,000 Hz"\n\nforce (N)', VALUES),
    "rate in samples": text("Sample Rate\t20\tkS/s\nforce (N)", VALUES),
    "rate in brackets": text("Sample rate [kHz] = 20\nforce (N)", VALUES),
    "step in powers": text("dt=5.0E-05\nforce (N)", VALUES),
    "a comment sign before the header": text("# measured by hand\n# time (s), force (N)", LINES),
    "blank and ruled lines below the header": text("time (s)\tforce (N)\n--------\t-------\n", rows("\t")),
    "names, units, a blank row": text(
        "time;force\n[ms];[kN]\n;", rows(";", time_factor=1e3, force_factor=1e-3)
    ),
    "headings with blanks between blanks": text(
        "Time (s)  Force (N)", [one.replace(",", "  ") for one in LINES]
    ),
    "quoted decimal commas between commas": text(
        '"t (s)","F (N)"', [f'"{a}","{b}"' for a, b in (line.split(";") for line in rows(";", ","))]
    ),
    "blanks around everything": text(
        "time (s) ; force (N) ", [f" {line.replace(',', ' ; ')} " for line in LINES]
    ),
    "UTF-16, big end first, semicolons": text("Zeit (s);Kraft (N)", rows(";", ","))
    .decode()
    .encode("utf-16-be"),
    "UTF-16 with mark and two line ends": b"\xff\xfe"
    + text("time (s);force (N)", rows(";"), "\r\n").decode().encode("utf-16-le"),
    "line ends translated twice": text("time (s),force (N)", LINES, "\r\r\n"),
    "three lines of headings": text(
        "time;force\nms;kN\nlogged;peak", rows(";", time_factor=1e3, force_factor=1e-3)
    ),
    "numbers in the preamble": text("1;2\n3;4\n5;6\ntime (s);force (N)", rows(";")),
    "remarks in brackets": text("time (s) (relative);force (plate) [N] (raw)", rows(";")),
    "two clocks": text(
        "clock;elapsed (s);force (N)", [f"12:00:00;{line.replace(',', ';')}" for line in LINES]
    ),
    "each channel with its time": text(
        "time (s);force (N);time (s);other (V)", [f"{one};{one}" for one in rows(";")]
    ),
}


@pytest.mark.parametrize("name", list(OTHERS))
def test_the_layout_is_found(name):
    trace = trace_of(OTHERS[name])
    assert trace.unit == "N"
    assert trace.rate == pytest.approx(RATE, rel=1e-9)
    assert trace.samples == pytest.approx(FORCE, abs=0.006)
    assert trace.flags == ()


def test_sample_numbers_that_jump_are_a_gap():
    lines = [f"{place},{VALUES[place]}" for place in range(COUNT) if not 500 <= place < 540]
    trace = trace_of(text("Sampling interval: 50 us\nsample,force (N)", lines))
    assert [flag.code for flag in trace.flags] == ["gap"]
    assert np.isnan(trace.samples[500:540]).all()


@pytest.mark.parametrize("word", ["OVL", "OVF", "1.#INF", "-1.#INF00", "Overflow", "inf", "+OL"])
def test_words_for_overflow_are_told(word):
    lines = [line if not 650 < at < 655 else f"{line.split(',')[0]},{word}" for at, line in enumerate(LINES)]
    trace = trace_of(text("time (s),force (N)", lines))
    assert int(np.isnan(trace.samples).sum()) == 4
    assert [flag.code for flag in trace.flags] == ["overflow", "gap"]
    assert trace.flags[0].message.startswith("4 readings are marked")


@pytest.mark.parametrize("word", ["----", "NaN", "", "#N/A", "1.#QNAN", "-1.#IND", "null", "***"])
def test_words_for_nothing_are_gaps(word):
    lines = [line if at != 20 else f"{line.split(',')[0]},{word}" for at, line in enumerate(LINES)]
    trace = trace_of(text("time (s),force (N)", lines))
    assert np.isnan(trace.samples[20])
    assert [flag.code for flag in trace.flags] == ["gap"]


def test_steps_of_one_last_digit_or_two_are_rounding():
    # 750 Hz to a millisecond: steps of 1 and 2 ms, none of them a gap
    lines = [f"{round(place / 0.75) * 1e-3:.3f},{value}" for place, value in enumerate(VALUES)]
    trace = trace_of(text("time (s),force (N)", lines))
    assert trace.rate == pytest.approx(750.0, rel=1e-3)
    assert len(trace.samples) == COUNT
    assert trace.flags == ()


def test_coarse_stamps_tell_the_rate_to_a_sample():
    lines = [
        f"{np.floor(20.0 * t) / 20.0:.2f},{value}" for t, value in zip(7.3 + 20.0 * TIME, VALUES, strict=True)
    ]
    # 2 s at 1 kHz in steps of 50 ms: counted from change to change
    assert trace_of(text("time (s),force (N)", lines)).rate == pytest.approx(RATE / 20.0, rel=1e-3)


def test_one_double_step_is_a_lost_sample():
    lines = [line for place, line in enumerate(rows(time_digits=5)) if place != 700]
    assert [flag.code for flag in trace_of(text("time (s),force (N)", lines)).flags] == ["gap"]


def test_a_number_cut_in_its_decimals_is_left_out():
    trace = trace_of(CSV.rstrip(b"\n")[:-2])
    assert [flag.code for flag in trace.flags] == ["cut-off"]
    assert len(trace.samples) == COUNT - 1


def test_columns_of_one_name_are_told_apart():
    data = text("time (s),CH (V),CH (V)", [f"{line},1.0" for line in LINES])
    assert [one.name for one in read_recording(data, "a.csv").channels] == ["CH", "CH (2)"]


def test_the_line_of_a_stamp_counts_rows_without_numbers():
    broken = [*LINES[:10], "pause", *LINES[10:20], *LINES[:20]]
    with pytest.raises(UnreadableError, match=r"test\.csv, line 23: time goes"):
        trace_of(text("time (s),force (N)", broken))


def test_more_columns_than_anyone_has_are_refused():
    with pytest.raises(UnreadableError, match=r"line 1: 5000 columns") as caught:
        trace_of((",".join(["1"] * 5000) + "\n").encode() * 3)
    assert caught.value.code == "too-many-columns"
