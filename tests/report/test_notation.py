"""How quantities are written: one unit a kind, the digits of ``show``, bounds that claim no more."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from tameshi.quantity import Missing, Quantity, Source, exact, parse_unit, show
from tameshi.report.notation import notation_for, two_figures

pressures = st.floats(1e4, 1e7)
relative = st.floats(1e-4, 0.5)


def pressure(value: float, share: float = 0.02) -> Quantity:
    return Quantity(value, "Pa", {Source("s", "s"): share * value})


def test_values_of_one_kind_are_written_in_the_finest_unit_any_of_them_needs():
    notation = notation_for("si", [pressure(5e6), pressure(8e5)])
    assert notation.units("Pa") == ("kPa", "psi")
    assert notation.entry(pressure(5e6)).shown[0].value == "5000"


def test_one_large_kind_keeps_its_large_unit():
    assert notation_for("si", [pressure(5e6)]).units("Pa") == ("MPa", "psi")


@given(pressures, pressures, relative)
def test_moving_the_point_rounds_nothing_again(one, other, share):
    notation = notation_for("si", [pressure(one, share), pressure(other, share)])
    for quantity in (pressure(one, share), pressure(other, share)):
        for system, shown in zip(notation.systems, notation.entry(quantity).shown, strict=True):
            as_shown = show(quantity, system)
            ratio = Decimal(round(parse_unit(as_shown.unit).factor / parse_unit(shown.unit).factor))
            for mine, theirs in ((shown.value, as_shown.value), (shown.low, as_shown.low)):
                assert Decimal(mine) == Decimal(theirs) * ratio


def test_the_studys_units_come_first():
    entry = notation_for("us", []).entry(exact(2500.0, "N"))
    assert [one.unit for one in entry.shown] == ["lbf", "N"]


def test_times_are_written_alike_in_both_systems():
    assert notation_for("si", []).entry(exact(0.0075, "s")).same_in_both
    assert not notation_for("si", []).entry(exact(10.0, "N")).same_in_both


@given(st.floats(1.0, 1e5))
def test_a_lower_bound_is_never_rounded_up(bound):
    entry = notation_for("si", []).entry(Missing("N", "cut off", at_least=bound))
    for shown in entry.bound:
        assert float(shown.value) * parse_unit(shown.unit).factor <= bound * (1.0 + 1e-12)


def test_a_missing_quantity_says_so_and_why():
    entry = notation_for("si", []).entry(Missing("N", "no reason"))
    assert str(entry) == "not given"
    assert entry.why == "no reason"
    assert entry.shown == ()


def test_a_bound_is_said_in_words():
    entry = notation_for("si", []).entry(Missing("N", "cut off", at_least=8156.7))
    assert str(entry) == "at least 8150\u00a0N"


def test_a_quantity_in_a_sentence_keeps_its_unit_on_its_line():
    quantity = Quantity(2979.5, "N", {Source("s", "s"): 6.6})
    assert str(notation_for("si", []).entry(quantity)) == "2979.5 (2966.6 to 2992.4)\u00a0N, 669.8\u00a0lbf"


def test_two_figures_are_kept_even_where_the_second_is_zero():
    assert [two_figures(number) for number in (0.9999, 17.3, 265.0, 0.0521)] == ["1.0", "17", "260", "0.052"]
