import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.pressure import (
    band_on_tissue,
    contact_models,
    join,
    join_typical,
    local_band,
    pressure_as_dict,
    typical_area,
)
from tameshi.quantity import Missing, Quantity, Source, normal, scaled_t, simulate
from tameshi.tolerance import local_pressure_of


def force(value=3000.0, share=0.01):
    return Quantity(value, "N", {Source("cal", "calibration", 20): value * share})


def area(value=12e-4, share=0.02, key="p1"):
    return Quantity(
        value, "m2", {Source(f"edge:{key}", "edge"): value * share, Source("bar", "scale"): value * 0.003}
    )


def test_force_over_area():
    joined = join(force(), area())
    assert joined.mean_pressure.unit == "Pa"
    assert joined.mean_pressure.value == pytest.approx(2.5e6)
    assert set(joined.mean_pressure.budget) == {"calibration", "edge", "scale"}


def test_worked_band_of_local_pressure():
    # derived: 3000 N on 12 cm2 is 2.50 MPa; a sphere makes 3.75, a thin layer 5.00 MPa of it
    joined = join(force(), area())
    assert [joined.band.low, joined.band.high] == pytest.approx([2.5e6, 5.0e6])
    by_model = {model.name: model.factor * joined.mean_pressure.value for model in contact_models()}
    assert by_model == pytest.approx({"uniform": 2.5e6, "sphere": 3.75e6, "thin layer": 5.0e6})


@pytest.mark.parametrize("exponent", [0.0, 0.5, 1.0])
def test_factors_follow_from_the_pressure_law(exponent):
    # derived: the mean of (1 - s^2)^n over the disc is 1/(n + 1)
    s = np.sqrt((np.arange(200_000) + 0.5) / 200_000)
    factor = 1.0 / np.mean((1.0 - s**2) ** exponent)
    assert any(model.factor == pytest.approx(factor, rel=1e-3) for model in contact_models())


def test_the_band_stretches_with_the_uncertainty_of_the_mean():
    band = local_band(join(force(), area(share=0.2)).mean_pressure)
    assert band.lowest < band.low < band.high < band.highest


def test_a_dark_rim_leaves_local_pressure_unbounded():
    joined = join(force(), area(), flags=[Flag("dark-rim", "rim")], strike=2)
    assert [(flag.code, flag.strike) for flag in joined.flags] == [("dark-rim", None), ("unbounded-edge", 2)]


def test_typical_print_carries_its_scatter():
    areas = [area(value, key=str(value)) for value in (10e-4, 12e-4, 14e-4)]
    typical, flags = typical_area(areas)
    assert flags == ()
    assert typical.value == pytest.approx(12e-4)
    assert typical.budget["area scatter"] == pytest.approx(2e-4 * np.sqrt(1.0 + 1.0 / 3.0))
    assert typical.dof == pytest.approx(2.0, abs=0.2)


def test_a_single_print_is_taken_with_an_assumed_scatter():
    joined = join_typical(force(), [area()], strike=1)
    assert "few-prints" in {flag.code for flag in joined.flags}
    # one print and one further strike: twice the variance
    assert joined.area.budget["area scatter"] == pytest.approx(0.15 * 12e-4 * np.sqrt(2.0))
    assert not joined.own_print


def test_two_prints_are_pooled_with_what_is_usual():
    typical, flags = typical_area([area(11e-4, key="a"), area(13e-4, key="b")])
    assert [flag.code for flag in flags] == ["few-prints"]
    pooled = np.sqrt((4.0 * (0.15 * 12e-4) ** 2 + 2e-8) / 5.0)
    assert typical.budget["area scatter"] == pytest.approx(pooled * np.sqrt(1.5))
    assert typical.low > 0.0


def test_an_area_that_could_be_nothing_is_not_divided_by():
    with pytest.raises(UnmeasurableError) as caught:
        join(force(), area(share=0.6))
    assert caught.value.code == "area-too-uncertain"


def test_the_scale_that_prints_share_does_not_average_out():
    typical, _ = typical_area([area(12e-4, key=str(index)) for index in range(4)])
    assert typical.budget["scale"] == pytest.approx(0.003 * 12e-4)
    assert typical.budget["edge"] == pytest.approx(0.02 * 12e-4 / 2.0)


def test_interval_is_that_of_monte_carlo():
    joined = join(force(share=0.02), area(share=0.15))
    drawn = simulate(
        lambda f, a: f / a,
        [scaled_t(3000.0, 60.0, 20.0), normal(12e-4, joined.area.u)],
        generator=np.random.default_rng(3),
    )
    assert joined.mean_pressure.low == pytest.approx(drawn.low, rel=0.01)
    assert joined.mean_pressure.high == pytest.approx(drawn.high, rel=0.02)


def test_a_missing_force_is_refused_with_its_reason():
    with pytest.raises(UnmeasurableError) as caught:
        join(Missing("N", "the top of the strike was cut off", 2000.0), area())
    assert caught.value.code == "no-force"
    assert "cut off" in caught.value.message
    assert "at least 2000 N" in caught.value.message


def test_no_print_no_pressure():
    with pytest.raises(WrongUseError):
        join_typical(force(), [])
    with pytest.raises(UnmeasurableError):
        join(force(), Quantity(0.0, "m2"))


def test_machine_readable_form_has_what_the_contract_lists():
    found = pressure_as_dict(join(force(), area()))
    assert found["schema"] == "tameshi.pressure/1"
    assert set(found) >= {"schema", "force", "area", "mean_pressure", "peak_pressure_band", "flags"}
    for name in ("peak_pressure_band", "peak_pressure_band_on_tissue"):
        assert set(found[name]) >= {"low", "high", "unit", "model", "meaning", "why"}


def test_both_bands_stand_on_the_same_mean_and_each_says_what_it_is_of():
    joined = join(force(), area())
    found = pressure_as_dict(joined)
    plate, tissue = found["peak_pressure_band"], found["peak_pressure_band_on_tissue"]
    mean = found["mean_pressure"]["value"]
    assert (tissue["low"], tissue["high"]) == pytest.approx((mean, 8.6 * mean))
    assert plate["low"] == tissue["low"] < plate["high"] < tissue["high"]
    assert "plate" in plate["meaning"]
    assert "published" in tissue["meaning"]


def test_what_is_set_beside_published_local_pressure_is_the_band_on_tissue():
    mean = join(force(), area()).mean_pressure
    reading, band = local_pressure_of(mean), band_on_tissue(mean)
    assert reading is not None
    assert (reading.least.value, reading.most.value) == pytest.approx((band.low, band.high))


@given(st.floats(10.0, 1e4), st.floats(1e-5, 1e-2))
def test_pressure_scales_with_force_and_against_area(newtons, square_metres):
    one = join(force(newtons), area(square_metres)).mean_pressure
    twice = join(force(2.0 * newtons), area(square_metres)).mean_pressure
    assert twice.value == pytest.approx(2.0 * one.value)
    assert twice.u == pytest.approx(2.0 * one.u)
