"""Modulus of rupture of a concrete beam loaded at the thirds of its span.

Source: worked example after ASTM C78 (seen in a copy): P = 5150 lb, L = 18 in, b = d = 6 in: R = P L / (b
d^2) = 429.167 psi; a break outside the middle third, 6.5 in from the support: R = 3 P a / (b d^2) = 464.931
psi.
"""

from __future__ import annotations

from tameshi.target.breaking import third_point_rupture
from tests.published.as_printed import as_printed


def test_a_break_in_the_middle_third() -> None:
    assert third_point_rupture(5150.0, 18.0, 6.0, 6.0) == as_printed("429.167")


def test_a_break_outside_the_middle_third() -> None:
    assert third_point_rupture(5150.0, 18.0, 6.0, 6.0, break_at=6.5) == as_printed("464.931")
