import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import UnitError
from tameshi.quantity import kind_of_unit, parse_quantity, parse_unit


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("3 kN", "force", 3000.0),
        ("250 lbf", "force", 250.0 * 4.4482216152605),
        ("0.34 in2", "area", 0.34 * 6.4516e-4),
        ("0.34 in^2", "area", 0.34 * 6.4516e-4),
        ("12 cm²", "area", 12e-4),
        ("5ms", "time", 0.005),
        ("  8   µs ", "time", 8e-6),
        ("8 us", "time", 8e-6),
        ("2.5 kN/V", "force per volt", 2500.0),
        ("-2 kN/V", "force per volt", -2000.0),
        ("2 mV/V", "ratio", 0.002),
        ("0.05 %", "ratio", 0.0005),
        ("1e3 N", "force", 1000.0),
        (".5 N", "force", 0.5),
        ("20 kHz", "frequency", 20_000.0),
    ],
)
def test_a_typed_quantity_becomes_coherent_si(text, kind, value):
    assert parse_quantity(text, kind) == pytest.approx(value, rel=1e-14)


def test_a_bare_number_is_refused_with_the_units_that_fit():
    with pytest.raises(UnitError) as caught:
        parse_quantity("3", "force")
    assert caught.value.code == "unit-missing"
    assert caught.value.hint == "Units that fit: N, kN, lbf, kgf."


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("3 s", "force", "wrong-unit"),
        ("3 N/V", "force", "wrong-unit"),
        ("3 bananas", "force", "unknown-unit"),
        ("3 kn", "force", "unknown-unit"),
        ("3,5 kN", "force", "not-a-number"),
        ("1,200 N", "force", "not-a-number"),
        ("N", "force", "not-a-number"),
        ("", "force", "not-a-number"),
        ("nan N", "force", "not-a-number"),
        ("1e999 N", "force", "not-a-number"),
        ("3 N/", "force", "unknown-unit"),
        ("3 N; import os", "force", "unknown-unit"),
        ("3 N**9**9", "force", "unknown-unit"),
        ("3 " + "m" * 500, "length", "unknown-unit"),
    ],
)
def test_what_is_no_quantity_of_this_kind_is_refused(text, kind, code):
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, kind)
    assert caught.value.code == code
    assert caught.value.hint


def test_a_unit_in_the_wrong_case_gets_the_right_one_suggested():
    with pytest.raises(UnitError) as caught:
        parse_unit("PSI")
    assert caught.value.hint == "Did you mean 'psi'?"


@given(st.text(max_size=60))
def test_no_text_whatever_breaks_the_parser(text):
    with suppress(UnitError):
        assert math.isfinite(parse_quantity(text, "force"))


@given(st.floats(-1e6, 1e6, allow_nan=False), st.sampled_from(["N", "kN", "lbf", "kgf"]))
def test_a_printed_quantity_parses_back(value, unit):
    assert parse_quantity(f"{value!r} {unit}", "force") == pytest.approx(value * parse_unit(unit).factor)


@pytest.mark.parametrize(
    ("unit", "kind"),
    [("lbf s", "impulse"), ("kPa", "pressure"), ("N s", "impulse"), ("m3", None), ("V", "voltage")],
)
def test_kind_of_a_unit(unit, kind):
    assert kind_of_unit(unit) == kind
