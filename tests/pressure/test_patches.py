import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.pressure import Range, split_by_patch
from tameshi.quantity import Quantity, Source
from tests.known import known
from tests.pressure.test_course import law

FORCE = Quantity(3000.0, "N", {Source("cal", "calibration"): 30.0})


def patches(*values):
    return [
        Quantity(value, "m2", {Source("bar", "scale"): 0.005 * value, Source(f"p{i}", "edge"): 0.02 * value})
        for i, value in enumerate(values)
    ]


def test_a_single_patch_bears_the_whole_force():
    split = split_by_patch(FORCE, patches(8e-4))
    assert split.is_justified
    assert known(split.patches[0].pressure).value == pytest.approx(3000.0 / 8e-4)


def test_without_more_knowledge_there_are_only_hard_bounds():
    split = split_by_patch(FORCE, patches(4e-4, 2e-4))
    assert not split.is_justified
    for patch in split.patches:
        assert isinstance(patch.pressure, Range)
        assert patch.pressure.low == 0.0
        assert patch.pressure.high > 3000.0 / patch.area.value
        assert (patch.share.low, patch.share.high) == (0.0, 1.0)
    assert "more than the whole force" in split.words


@given(st.lists(st.floats(0.5e-4, 8e-4), min_size=2, max_size=5), st.data())
def test_any_way_to_share_the_force_lies_inside_the_hard_bounds(areas, data):
    weights = np.array(data.draw(st.lists(st.floats(0.01, 1.0), min_size=len(areas), max_size=len(areas))))
    split = split_by_patch(FORCE, patches(*areas))
    for patch, weight in zip(split.patches, weights / weights.sum(), strict=True):
        assert patch.pressure.low <= weight * 3000.0 / patch.area.value <= patch.pressure.high


def test_alike_patches_with_a_law_share_as_the_law_says():
    one = law(0.5)
    split = split_by_patch(FORCE, patches(4e-4, 2e-4, 2e-4), alike=True, law=one)
    assert split.is_justified
    powers = np.array([4.0, 2.0, 2.0]) ** (1.0 / one.exponent.value)
    shares = [known(patch.share).value for patch in split.patches]
    assert shares == pytest.approx(powers / powers.sum())
    assert sum(shares) == pytest.approx(1.0)
    assert known(split.patches[0].share).budget.keys() >= {"edge"}
    assert "alike" in split.words


def test_the_shares_uncertainty_agrees_with_drawing():
    one, areas = law(0.5), patches(4e-4, 2.5e-4)
    split = split_by_patch(FORCE, areas, alike=True, law=one)
    rng = np.random.default_rng(3)
    draws = []
    scale = rng.normal(size=20_000)
    n = one.exponent.value + one.exponent.u * rng.normal(size=20_000)
    first, second = (area.value * (1.0 + 0.005 * scale + 0.02 * rng.normal(size=20_000)) for area in areas)
    draws = first ** (1.0 / n) / (first ** (1.0 / n) + second ** (1.0 / n))
    assert known(split.patches[0].share).u == pytest.approx(float(np.std(draws)), rel=0.08)


def test_alike_patches_without_a_law_lie_between_the_models():
    split = split_by_patch(FORCE, patches(4e-4, 2e-4), alike=True)
    assert not split.is_justified
    # even pressure 2/3, sphere 2^1.5 : 1, thin layer 4 : 1
    assert split.patches[0].share.low == pytest.approx(2.0 / 3.0)
    assert split.patches[0].share.high == pytest.approx(0.8)


def test_no_patch_is_refused():
    with pytest.raises(WrongUseError, match="no patch"):
        split_by_patch(FORCE, [])
