"""Strikes without a print of their own take the area that the law of their technique gives at their force."""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.study import contacts_of, join_study
from tests.study.test_contact import contact_print, recording

FORCES = [800.0, 1200.0, 1600.0, 2000.0, 2600.0, 3200.0]


def study(more: list[float], *, pad: str = "none", athlete: str = "K1"):
    rng = np.random.default_rng(8)
    areas = [12e-4 * (force / 2000.0) ** 0.5 * float(np.exp(rng.normal(0.0, 0.03))) for force in FORCES]
    own = recording("evening.csv", FORCES)
    other = recording("other.csv", more, pad=pad, athlete=athlete)
    prints = [contact_print(f"p{i}", area, i) for i, area in enumerate(areas, start=1)]
    return [own, other], prints


def test_a_strike_within_the_laws_forces_takes_the_area_there():
    strikes, prints = study([1000.0, 3000.0])
    joined = join_study(strikes, prints)[len(FORCES) :]
    (contact,) = contacts_of(strikes, prints)
    law = contact.law_on("none")
    assert law is not None
    for one, force in zip(joined, (1000.0, 3000.0), strict=True):
        assert one.pressure is not None
        assert one.pressure.area_from == "area law"
        assert one.pressure.area.value == pytest.approx(law.area_at(force).value)
        assert one.pressure.prints == len(one.prints) == len(FORCES)
        assert "scatter about the law" in one.pressure.area.budget


def test_own_prints_stay_and_still_carry_the_law_for_their_course():
    joined = join_study(*study([1000.0]))[: len(FORCES)]
    assert {one.pressure.area_from for one in joined if one.pressure} == {"own print"}
    assert all(one.law is not None for one in joined)


@pytest.mark.parametrize(
    ("force", "said"),
    [(300.0, {}), (9000.0, {}), (2000.0, {"pad": "20 mm foam"}), (2000.0, {"athlete": "K2"})],
)
def test_far_forces_other_pads_and_other_athletes_take_the_typical_print(force, said):
    joined = join_study(*study([force], **said))[-1]
    assert joined.pressure is not None
    assert joined.pressure.area_from == "typical print"


def test_what_a_strike_is_off_the_law_is_its_own():
    one, other = join_study(*study([1000.0, 1000.0]))[-2:]
    assert one.pressure is not None
    assert other.pressure is not None
    own = set(one.pressure.area.parts) - set(other.pressure.area.parts)
    assert "scatter about the law" in {source.name for source in own}
