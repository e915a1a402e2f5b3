import numpy as np
import pytest

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.pressure import area_law, in_words, law_as_dict
from tameshi.quantity import Quantity, Source

THIRDS = 2.0 / 3.0


def pairs(exponent=THIRDS, *, count=10, ratio=4.0, human=0.03, seed=1, own=0.01):
    rng = np.random.default_rng(seed)
    forces = 1000.0 * np.geomspace(1.0, ratio, count)
    areas = 12e-4 * (forces / 2000.0) ** exponent * np.exp(rng.normal(0.0, human, count))
    return (
        [
            Quantity(f, "N", {Source("cal", "calibration"): 0.02 * f, Source(f"f{i}", "noise"): own * f})
            for i, f in enumerate(forces.tolist())
        ],
        [
            Quantity(a, "m2", {Source("bar", "scale"): 0.01 * a, Source(f"a{i}", "edge"): own * a})
            for i, a in enumerate(areas.tolist())
        ],
    )


@pytest.mark.parametrize(
    ("exponent", "name"), [(THIRDS, "sphere on flat"), (0.5, "thin layer"), (0.0, "rigid flat")]
)
def test_many_clear_prints_favour_one_law_and_exclude_the_others(exponent, name):
    law = area_law(*pairs(exponent, count=30))
    assert law.exponent.low < exponent < law.exponent.high
    assert [one.name for one in law.inside] == [name]
    assert f"only {name} " in in_words(law)
    assert "excludes" in in_words(law)


def test_few_scattered_prints_do_not_tell_laws_apart():
    law = area_law(*pairs(0.58, count=6, human=0.06, ratio=2.0))
    names = {one.name for one in law.inside}
    assert {"sphere on flat", "thin layer"} <= names
    assert "cannot tell" in in_words(law)
    assert "times as likely" in in_words(law)


def test_an_exponent_between_the_laws_fits_none():
    law = area_law(*pairs(0.25, count=30))
    assert law.inside == ()
    assert in_words(law).startswith("None of the simple laws fits.")


def test_the_laws_support_adds_up_and_favours_the_nearest():
    law = area_law(*pairs(0.5, count=12))
    support = {one.name: one.support for one in law.laws}
    assert sum(support.values()) == pytest.approx(1.0)
    assert max(support, key=lambda name: support[name]) == "thin layer"
    assert [one.written for one in law.laws] == ["2/3", "1/2", "0"]


def test_the_budget_of_the_exponent_names_prints_forces_and_scatter():
    budget = area_law(*pairs()).exponent.budget
    assert set(budget) >= {"scatter about the law", "noise", "edge"}
    # what all share moves every point alike
    assert budget.get("calibration", 0.0) < 1e-9
    assert budget.get("scale", 0.0) < 1e-9


def test_the_shared_scale_stays_in_the_area():
    law = area_law(*pairs())
    area = law.area_at(2000.0)
    assert area.value == pytest.approx(12e-4, rel=0.05)
    assert area.budget["scale"] == pytest.approx(0.01 * area.value, rel=1e-3)
    assert area.low < area.value < area.high


def test_uncertainty_of_the_area_grows_away_from_the_forces():
    law = area_law(*pairs())
    near, far = law.area_at(law.force), law.area_at(10.0 * law.force)
    assert far.u / far.value > near.u / near.value


def test_the_scatter_found_is_the_one_put_in():
    law = area_law(*pairs(count=60, human=0.08))
    assert law.scatter_interval[0] < 0.08 < law.scatter_interval[1]
    assert law.scatter == pytest.approx(0.08, rel=0.25)


@pytest.mark.parametrize("count", [0, 1, 4])
def test_too_few_prints_are_refused_with_their_number(count):
    forces, areas = pairs()
    with pytest.raises(UnmeasurableError) as caught:
        area_law(forces[:count], areas[:count])
    assert caught.value.code == "too-few-prints"
    assert "takes 5" in caught.value.message


def test_forces_too_much_alike_are_refused():
    with pytest.raises(UnmeasurableError) as caught:
        area_law(*pairs(ratio=1.1))
    assert caught.value.code == "narrow-forces"
    assert "a factor of 1.10" in caught.value.message


def test_forces_too_uncertain_for_their_range_are_refused():
    with pytest.raises(UnmeasurableError) as caught:
        area_law(*pairs(ratio=1.5, own=0.08))
    assert caught.value.code == "narrow-forces"
    assert "8%" in caught.value.message


def test_a_shared_calibration_does_not_count_against_the_range():
    forces, areas = pairs(ratio=1.5, own=0.005)
    wide = [Quantity(f.value, "N", {Source("cal", "calibration"): 0.2 * f.value}) for f in forces]
    assert area_law(wide, areas).count == 10


def test_wrong_pairs_are_refused():
    forces, areas = pairs()
    with pytest.raises(WrongUseError):
        area_law(forces, areas[1:])
    with pytest.raises(UnmeasurableError) as caught:
        area_law(forces, [Quantity(0.0, "m2"), *areas[1:]])
    assert caught.value.code == "not-positive"


def test_a_print_far_off_is_flagged_and_kept():
    forces, areas = pairs(count=12, human=0.02)
    areas[5] = areas[5] * 1.6
    law = area_law(forces, areas)
    assert [flag.code for flag in law.flags] == ["odd-print"]
    assert "Print 6 of 12" in law.flags[0].message
    assert law.count == 12


def test_usual_scatter_is_not_called_odd():
    flagged = sum(bool(area_law(*pairs(seed=seed, count=8)).flags) for seed in range(40))
    assert flagged <= 3


def test_machine_readable_form():
    found = law_as_dict(area_law(*pairs()))
    assert {"value", "u", "low", "high", "budget"} <= set(found["exponent"])
    assert [one["name"] for one in found["laws"]] == ["sphere on flat", "thin layer", "rigid flat"]
    assert found["area"]["unit"] == "m2"
    assert found["prints"] == 10
