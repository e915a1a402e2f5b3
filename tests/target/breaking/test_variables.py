"""Draws: even, repeatable, and with the distributions they claim."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tameshi.target.breaking import Between, Drawn, Lognormal, Weibull, draw, shares


def test_the_same_inputs_give_the_same_draws() -> None:
    inputs: dict[str, Lognormal | Weibull | Between] = {"a": Lognormal(1.0, 0.3), "b": Weibull(2.0, 10.0)}
    first, again = draw(inputs), draw(inputs)
    assert all(np.array_equal(first.values[name], again.values[name]) for name in inputs)


def test_what_is_known_does_not_vary() -> None:
    drawn = draw({"a": Lognormal(3.0, 0.0), "b": Between(1.0, 1.0), "c": Between(1.0, 2.0)})
    assert set(drawn.normals) == {"c"}
    assert np.ptp(drawn.values["a"]) == np.ptp(drawn.values["b"]) == 0.0


def test_medians_and_spreads() -> None:
    drawn = draw({"l": Lognormal(3.0, 0.2), "w": Weibull(5.0, 8.0), "b": Between(1.0, 4.0)}).values
    assert np.median(drawn["l"]) == pytest.approx(3.0, rel=1e-3)
    assert np.log(drawn["l"]).std() == pytest.approx(0.2, rel=0.01)
    assert np.median(drawn["w"]) == pytest.approx(5.0, rel=1e-3)
    # derived: mean scale gamma(1 + 1/m), scale = median / (ln 2)^(1/m)
    mean = 5.0 / math.log(2.0) ** (1.0 / 8.0) * math.gamma(1.0 + 1.0 / 8.0)
    assert drawn["w"].mean() == pytest.approx(mean, rel=2e-3)
    assert np.median(drawn["b"]) == pytest.approx(2.0, rel=1e-3)
    assert drawn["b"].min() >= 1.0
    assert drawn["b"].max() <= 4.0


def test_few_readings_have_wide_tails() -> None:
    wide, narrow = (draw({"a": Lognormal(1.0, 0.1, dof)}).values["a"] for dof in (2.0, math.inf))
    assert np.quantile(wide, 0.975) - 1.0 > 2.0 * (np.quantile(narrow, 0.975) - 1.0)


def test_shares_of_a_sum_are_those_of_its_variances() -> None:
    drawn = draw({"a": Lognormal(1.0, 0.3), "b": Lognormal(1.0, 0.4)})
    found = shares(np.log(drawn.values["a"] / drawn.values["b"]), drawn)
    assert found["a"] == pytest.approx(0.36, abs=0.005)
    assert found["b"] == pytest.approx(0.64, abs=0.005)
    assert sum(found.values()) == pytest.approx(1.0)


def test_what_no_input_explains_alone_is_told() -> None:
    normal = draw({"a": Lognormal(1.0, 1.0)}).normals["a"]
    found = shares(normal**2, Drawn({}, {"a": normal}))
    assert found["together"] > 0.99


def test_a_result_that_does_not_vary_has_no_shares() -> None:
    assert shares(np.ones(8), Drawn({}, {"a": np.arange(8.0)})) == {}
