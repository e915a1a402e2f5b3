import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.quantity import Missing, Quantity, Source, show, show_both


def quantity(value, u, unit):
    return Quantity(value, unit, {Source("s", "s"): u})


@pytest.mark.parametrize(
    ("value", "u", "unit", "shown"),
    [
        (2431.3, 18.2, "N", "2431"),
        (2431.3, 1.82, "N", "2431.3"),
        (2431.3, 182.0, "N", "2430"),
        (1.2796e6, 1.8e4, "Pa", "1.280"),
        (345_678.0, 1234.0, "Pa", "345.7"),
        (0.00968, 0.0000123, "s", "9.680"),
        (0.0019, 0.000023, "m2", "19.00"),
        (12.73, 0.0996, "N s", "12.73"),
        (1_178_097.0, 9_000.0, "N/s", "1.1781"),
    ],
)
def test_value_is_rounded_to_two_figures_of_u(value, u, unit, shown):
    assert show(quantity(value, u, unit)).value == shown


@pytest.mark.parametrize(
    ("value", "unit", "si", "us"),
    [
        (2000.0, "N", "N", "lbf"),
        (0.008, "s", "ms", "ms"),
        (2.0, "s", "s", "s"),
        (15.0, "N s", "N·s", "lbf·s"),
        (2e-3, "m2", "cm²", "in²"),
        (2e6, "Pa", "MPa", "psi"),
        (2e5, "Pa", "kPa", "psi"),
        (7.0, "m/s", "m/s", "ft/s"),
        (9.0, "J", "J", "ft·lbf"),
    ],
)
def test_units_people_read(value, unit, si, us):
    assert (show(Quantity(value, unit), "si").unit, show(Quantity(value, unit), "us").unit) == (si, us)


def test_both_systems_side_by_side():
    assert show_both(quantity(2431.3, 18.2, "N")) == "2431 (2396 to 2467) N [546.6 lbf]"
    assert show_both(quantity(2431.3, 18.2, "N"), "us") == "546.6 (538.6 to 554.6) lbf [2431 N]"


def test_where_both_systems_agree_it_is_said_once():
    assert show_both(quantity(0.00968, 0.00001, "s")) == "9.680 (9.660 to 9.700) ms"


def test_missing_quantity_shows_its_reason_and_its_bound():
    assert (
        show_both(Missing("N", "the top was cut off", 1500.0))
        == "not given: at least 1500 N; the top was cut off"
    )


def test_a_lower_bound_is_rounded_down():
    assert "at least 10000 N" in show_both(Missing("N", "cut off", 10_006.0))
    assert "at least 1499 N" in show_both(Missing("N", "cut off", 1499.98))


def test_a_quantity_without_uncertainty_shows_no_interval():
    assert str(show(Quantity(1500.0, "N"))) == "1500 N"


@given(st.floats(1e-9, 1e9), st.floats(1e-4, 0.5))
def test_what_is_shown_lies_within_a_figure_of_u(value, share):
    u = value * share
    shown = show(Quantity(value, "1", {Source("s", "s"): u}))
    assert abs(float(shown.value) - value) <= 0.06 * u


def test_angles_are_shown_in_degrees_and_ratios_are_not():
    """The degree sign is written close up (ISO 80000-1, 7.1.4; value from memory)."""
    assert str(show(quantity(0.5, 0.01, "rad"))) == "28.65 (27.52 to 29.77)°"
    assert str(show(quantity(0.5, 0.01, "1"))) == "0.500 (0.480 to 0.520)"
    assert show_both(Quantity(0.5, "rad")) == "28.65°"
