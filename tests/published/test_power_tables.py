"""How many trials a t test takes.

Source: the table of J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), ch. 2, as
several power programmes print it to more digits: d = 0.5 takes 63.77 a group for a power of 0.8, one sample
or pairs 33.37. The other entries are derived from the non-central t distribution, as the programmes do.
"""

import pytest

from tameshi.comparison import plan_strikes, power_of_one_mean, power_of_two_means

TWO = {0.5: (63.77, 85.03), 0.8: (25.52, 33.83), 1.0: (16.71, 22.02), 1.5: (8.06, 10.40)}
ONE = {0.5: (33.37, 44.00), 0.8: (14.30, 18.45), 1.0: (9.94, 12.59)}


@pytest.mark.parametrize(("effect", "counts"), TWO.items())
def test_two_groups(effect, counts):
    for count, power in zip(counts, (0.8, 0.9), strict=True):
        # counts are printed to two decimals
        assert power_of_two_means(count, effect) == pytest.approx(power, abs=3e-4)
    assert plan_strikes(effect, 1.0, power=0.8).by_power == int(counts[0]) + 1


@pytest.mark.parametrize(("effect", "counts"), ONE.items())
def test_one_sample_and_pairs(effect, counts):
    for count, power in zip(counts, (0.8, 0.9), strict=True):
        assert power_of_one_mean(count, effect) == pytest.approx(power, abs=3e-4)


def test_power_as_printed():
    assert power_of_two_means(20, 0.5) == pytest.approx(0.337939, abs=5e-7)
    assert power_of_two_means(64, 0.5) == pytest.approx(0.8014596, abs=5e-8)
