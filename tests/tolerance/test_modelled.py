"""What a model gives, beside published values: quantiles, one side only, and what it may not meet."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity
from tameshi.tolerance import (
    Case,
    Comparability,
    Drawn,
    Kind,
    Modelled,
    Spread,
    case_as_dict,
    compare,
    comparison_as_dict,
    lognormal_of_mean,
    place,
    published_values,
    told_of,
)

ROWS = {row.key: row for row in published_values()}
SHARES = (0.005, 0.025, *(0.05 * step for step in range(1, 20)), 0.975, 0.995)


def skewed(count: int = 200_000) -> np.ndarray:
    """Draws as a transfer gives them: a product of ranges, far from normal even on a logarithmic scale."""
    generator = np.random.default_rng(4)
    return 40.0 * generator.uniform(1.0, 3.0, count) ** 2.5 * np.exp(generator.uniform(-1.0, 1.0, count))


def drawn(draws: np.ndarray, unit: str = "1") -> Drawn:
    return Drawn(unit, SHARES, tuple(float(one) for one in np.quantile(draws, SHARES)))


def hic(least: Drawn, most: Drawn | None, *, refused: str = "") -> Modelled:
    return Modelled(
        kind=Kind.HEAD_INJURY_CRITERION_15,
        least=least,
        most=most,
        model="a model",
        regions=("brain",),
        refused=refused,
    )


@pytest.mark.parametrize("value", [40.0, 80.0, 200.0, 330.0, 586.0])
def test_the_share_below_is_that_of_the_draws(value: float) -> None:
    draws = skewed()
    assert drawn(draws).below(value) == pytest.approx(float(np.mean(draws < value)), abs=0.005)


@given(st.floats(0.01, 0.99))
def test_value_and_share_are_each_others_inverse(share: float) -> None:
    known = drawn(skewed(2000))
    assert known.below(known.at(share)) == pytest.approx(share, abs=1e-9)


def test_beyond_its_quantiles_the_last_slope_goes_on() -> None:
    normal = np.exp(np.random.default_rng(1).normal(0.0, 0.3, 400_000))
    known = drawn(normal)
    # derived: ln of it is normal, so the share above e^(4 sigma) is 3.2e-5
    assert known.below(float(np.exp(4 * 0.3))) == pytest.approx(1.0 - 3.2e-5, abs=4e-5)
    assert known.below(0.0) == 0.0


def test_draws_that_are_all_alike_are_a_limit() -> None:
    limit = Drawn("N", (0.5,), (1000.0,))
    assert (limit.low, limit.value, limit.high) == (1000.0, 1000.0, 1000.0)
    assert (limit.below(999.0), limit.below(1000.0), limit.below(1001.0)) == (0.0, 0.5, 1.0)


@pytest.mark.parametrize(
    ("shares", "values"),
    [((), ()), ((0.5,), (0.0,)), ((0.5,), (1.0, 2.0)), ((0.5, 0.4), (1.0, 2.0)), ((0.4, 0.5), (2.0, 1.0)),
     ((0.5,), (float("inf"),)), ((0.0, 0.5), (1.0, 2.0))],
)  # fmt: skip
def test_what_are_no_quantiles_is_refused(shares: tuple[float, ...], values: tuple[float, ...]) -> None:
    with pytest.raises(WrongUseError, match="no quantiles"):
        Drawn("1", shares, values)


def test_probabilities_of_a_modelled_band_are_those_of_its_draws() -> None:
    draws = skewed()
    spread = Spread(100.0, 400.0, None, "for a test")
    found = place(hic(band := drawn(draws), band).reading, Kind.HEAD_INJURY_CRITERION_15, spread)
    assert found.below == pytest.approx(float(np.mean(draws < 100.0)), abs=0.005)
    assert found.above == pytest.approx(float(np.mean(draws > 400.0)), abs=0.005)
    assert found.undecided == 0.0


def test_both_uncertainties_are_in_the_share_below() -> None:
    generator = np.random.default_rng(8)
    ours = generator.lognormal(np.log(3000.0), 0.35, 300_000)
    tolerance = lognormal_of_mean(3500.0, 1400.0)
    spread = Spread(tolerance.at(0.025), tolerance.at(0.975), tolerance, "for a test")
    band = drawn(ours, "N")
    reading = Modelled(kind=Kind.CONTACT_FORCE, least=band, most=band, model="a model").reading
    theirs = tolerance.median * np.exp(tolerance.sigma * generator.normal(size=len(ours)))
    share = place(reading, Kind.CONTACT_FORCE, spread).share
    assert share is not None
    assert share.value == pytest.approx(float(np.mean(theirs < ours)), abs=0.005)


def test_a_lower_bound_is_never_below() -> None:
    bound = drawn(skewed())
    reading = hic(bound, None).reading
    found = place(reading, Kind.HEAD_INJURY_CRITERION_15, Spread(700.0, 700.0, None, "for a test"))
    assert (found.below, found.inside) == (0.0, 0.0)
    assert found.above == pytest.approx(1.0 - bound.below(700.0))
    assert found.above + found.undecided == pytest.approx(1.0)


def test_a_place_by_a_model_is_never_told_without_its_probability() -> None:
    band = Drawn("1", (0.1, 0.5, 0.9), (1.0, 1.1, 1.2))
    reading = hic(band, band).reading
    placing = place(reading, Kind.HEAD_INJURY_CRITERION_15, Spread(700.0, 700.0, None, "for a test"))
    assert placing.told == "below"
    assert told_of(placing, reading) == "below (over 99\u00a0%)"


def test_windows_of_15_and_36_ms_do_not_meet() -> None:
    band = drawn(skewed())
    case = Case(label="x", modelled=(hic(band, band),))
    keys = {one.published.key for one in compare(case, ROWS.values()) if one.is_modelled}
    assert {"hk-04", "hk-06", "hk-11"} <= keys
    assert not {"hk-10", "hk-01", "hk-02", "hk-03"} & keys


def test_a_mean_meets_only_a_mean_over_a_like_time() -> None:
    band = Drawn("m/s2", (0.1, 0.5, 0.9), (300.0, 500.0, 900.0))
    onto = Modelled(
        kind=Kind.HEAD_MEAN_ACCELERATION,
        least=band,
        most=band,
        model="a model",
        regions=("brain", "skull"),
        duration=Drawn("s", (0.5,), (0.0125,)),
    )
    found = {one.published.key: one for one in compare(Case(label="x", modelled=(onto,)), ROWS.values())}
    assert {key for key, one in found.items() if one.is_modelled} == {"hk-24", "hk-25"}  # 10 and 20 ms
    assert "2.5 ms there, about 12 ms in the model" in found["hk-22"].reason
    assert "another stretch" in found["sk-14"].reason
    assert found["hk-22"].placing is None


def test_a_model_that_does_not_hold_meets_nothing_and_says_why() -> None:
    band = drawn(skewed())
    case = Case(label="x", modelled=(hic(band, band, refused="It lasts too long."),))
    for one in compare(case, ROWS.values()):
        assert one.reading is None
        if one.published.kind is Kind.HEAD_INJURY_CRITERION_15:
            assert one.reason == "It lasts too long."


def test_two_models_are_set_beside_a_value_each_by_itself() -> None:
    band, other = drawn(skewed()), drawn(3.0 * skewed())
    two = (hic(band, band), Modelled(kind=Kind.HEAD_INJURY_CRITERION_15, least=other, most=other, model="b"))
    found = compare(Case(label="x", modelled=two), [ROWS["hk-11"]])
    assert [one.reading.model for one in found if one.reading] == ["a model", "b"]
    assert {one.comparability for one in found} == {Comparability.MODEL}


def test_the_object_for_programs_marks_a_band_as_modelled() -> None:
    band = drawn(skewed())
    case = Case(label="x", force=Quantity(3000.0, "N"), modelled=(hic(band, None),))
    (said,) = case_as_dict(case)["modelled"]
    assert said["band"]["modelled"] is True
    assert said["band"]["high"] is None
    assert not {"value", "u", "budget"} & set(said["band"])
    (one,) = compare(case, [ROWS["hk-11"]])
    assert comparison_as_dict(one)["reading"]["model"] == "a model"
    assert comparison_as_dict(one)["reading"]["high"] is None
