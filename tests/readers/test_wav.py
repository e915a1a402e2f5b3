import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import TameshiError, UnitError, UnreadableError, WrongUseError
from tameshi.force import Origin
from tameshi.readers import Asked, ReadOptions, prepare, read_recording
from tests.readers.files import COUNT, FORCE, RATE, wav
from tests.rig.rigs import rig


def trace_of(data, options=None, **asked):
    return prepare(read_recording(data, "test.wav", options), Origin("test.wav", "0" * 64), Asked(**asked))


@pytest.mark.parametrize(
    ("subtype", "room"),
    [("PCM_16", 0.16), ("PCM_24", 1e-3), ("PCM_32", 1e-3), ("FLOAT", 1e-3), ("DOUBLE", 1e-6)],
)
def test_every_sample_form_is_a_share_of_full_scale(subtype, room):
    trace, conversion = trace_of(wav(subtype), force_scale="5 kN")
    assert (trace.rate, trace.unit) == (RATE, "1")
    assert conversion.to_force(trace.samples) == pytest.approx(FORCE, abs=room)


def test_with_a_rig_full_scale_is_the_converters_span():
    trace, conversion = trace_of(wav(), rig=rig())
    assert trace.unit == "V"
    assert trace.samples.max() == pytest.approx(5.0 * FORCE.max() / 5000.0, rel=1e-3)
    assert conversion.origin == "ratings"


def test_an_uneven_span_is_mapped_end_to_end():
    trace, _ = trace_of(wav(), rig=rig(('["-5 V", "5 V"]', '["0 V", "4 V"]')))
    assert trace.samples[0] == pytest.approx(2.0 + 2.0 * FORCE[0] / 5000.0, abs=1e-3)


def test_volts_of_full_scale_are_assumed_openly():
    trace, _ = trace_of(wav(), force_scale="2.5 kN/V")
    assert [flag.code for flag in trace.flags] == ["unit-assumed"]


@pytest.mark.parametrize(
    ("asked", "error", "code"),
    [
        ({}, WrongUseError, "scale-unknown"),
        ({"force_scale": "5"}, UnitError, "unit-missing"),
        ({"force_scale": "5 ms"}, UnitError, "wrong-unit"),
        ({"force_scale": "0 N"}, UnitError, "wrong-unit"),
        ({"force_scale": "five"}, UnitError, "not-a-number"),
    ],
)
def test_a_scale_that_says_nothing_is_refused(asked, error, code):
    with pytest.raises(error) as caught:
        trace_of(wav(), **asked)
    assert caught.value.code == code


def test_several_channels_are_listed():
    with pytest.raises(WrongUseError) as caught:
        trace_of(wav(channels=2), force_scale="5 kN")
    assert caught.value.code == "channel-unclear"
    assert trace_of(wav(channels=2), force_scale="5 kN", channel="2")[0].origin.channel == "channel 2"


def test_a_cut_off_file_is_refused_unless_accepted():
    cut = wav()[:3000]
    with pytest.raises(UnreadableError) as caught:
        trace_of(cut, force_scale="5 kN")
    assert caught.value.code == "cut-off"
    trace, _ = trace_of(cut, ReadOptions(accept_cut_off=True), force_scale="5 kN")
    assert [flag.code for flag in trace.flags] == ["cut-off"]
    assert len(trace.samples) == (3000 - 44) // 2


def test_a_streamed_file_of_unstated_length_is_whole():
    data = bytearray(wav())
    data[4:8] = data[40:44] = struct.pack("<I", 0xFFFFFFFF)
    trace, _ = trace_of(bytes(data), force_scale="5 kN")
    assert len(trace.samples) == COUNT
    assert trace.flags == ()


@pytest.mark.parametrize("length", [12, 20, 30, 43])
def test_a_file_cut_in_its_header_is_damaged(length):
    with pytest.raises(UnreadableError) as caught:
        trace_of(wav()[:length], force_scale="5 kN")
    assert caught.value.code in {"unreadable-wav", "empty-recording"}
    assert "object at" not in caught.value.message


@settings(max_examples=80, deadline=None)
@given(st.integers(12, 200), st.binary(min_size=1, max_size=20))
def test_a_damaged_header_is_read_or_refused(place, noise):
    data = bytearray(wav()[:1000])
    data[place : place + len(noise)] = noise
    try:
        read_recording(bytes(data), "any.wav", ReadOptions(accept_cut_off=True))
    except TameshiError as error:
        assert error.hint  # noqa: PT017
