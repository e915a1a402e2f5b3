"""Contact areas of a study, from results as they are stored."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Quantity, Source, to_record
from tameshi.study import (
    Measurement,
    Original,
    Print,
    PrintDescription,
    Recording,
    RecordingDescription,
    contacts_of,
    join_study,
)

AT = datetime(2026, 4, 2, 19, 0, tzinfo=UTC)


def original(name: str, kind: Any) -> Original:
    return Original(sha256=f"sha-{name}", name=name, size=1, kind=kind, added_at=AT)


def force(value: float, index: int) -> dict[str, Any]:
    parts = {Source("cal", "calibration"): 0.01 * value, Source(f"n{index}", "noise"): 0.01 * value}
    return to_record(Quantity(value, "N", parts))


def recording(
    name: str, forces: list[float], *, athlete: str | None = "K1", pad: str | None = "none"
) -> tuple[Recording, Measurement]:
    said = RecordingDescription(technique="palm heel", athlete=athlete)
    strikes = [
        {"index": number, "onset": float(number), "peak_force": force(value, number), "flags": []}
        for number, value in enumerate(forces, start=1)
    ]
    body = {"recording": {"pad": pad}, "flags": [], "strikes": strikes}
    file = original(name, "recording")
    return Recording(file, said), Measurement(original=file, body=body)


def contact_print(
    name: str, area: float, strike: int | None = None, *, of: str = "sha-evening.csv", **said: Any
) -> tuple[Print, Measurement]:
    told = PrintDescription(recording=of if strike else None, strike=strike, **said)
    parts = {Source("bar", "scale"): 0.005 * area, Source(f"edge-{name}", "edge"): 0.01 * area}
    body = {"contact_area": to_record(Quantity(area, "m2", parts)), "flags": []}
    file = original(name, "print")
    return Print(file, told), Measurement(original=file, body=body)


def evening(exponent: float = 0.5) -> tuple[list[Any], list[Any]]:
    rng = np.random.default_rng(5)
    forces = np.geomspace(1000.0, 4000.0, 8).tolist()
    areas = [12e-4 * (value / 2000.0) ** exponent * float(np.exp(rng.normal(0.0, 0.02))) for value in forces]
    prints = [contact_print(f"p{n}.png", area, n) for n, area in enumerate(areas, start=1)]
    return [recording("evening.csv", forces)], prints


def found(strikes: list[Any], prints: list[Any]) -> Any:
    return contacts_of(strikes, prints)


def test_prints_of_strikes_take_technique_and_athlete_from_their_recording():
    (contact,) = found(*evening())
    assert (contact.technique, contact.athlete) == ("palm heel", "K1")
    assert contact.repeats.count == 8


def test_paired_prints_give_a_law():
    (contact,) = found(*evening())
    (against,) = contact.against_force
    assert against.law is not None
    assert against.pad == "none"
    assert against.law.exponent.low < 0.5 < against.law.exponent.high
    assert [pair.strike for pair in against.pairs] == list(range(1, 9))


def test_prints_without_a_strike_count_for_the_mean_only():
    strikes, prints = evening()
    prints.append(contact_print("loose.png", 14e-4, technique="palm heel", athlete="K1"))
    (contact,) = found(strikes, prints)
    assert contact.repeats.count == 9
    assert contact.against_force[0].law.count == 8


def test_athletes_are_not_put_together():
    strikes, prints = evening()
    prints.append(contact_print("other.png", 20e-4, technique="palm heel", athlete="K2"))
    assert [(one.athlete, one.repeats.count) for one in found(strikes, prints)] == [("K1", 8), ("K2", 1)]


def test_pads_are_not_put_together():
    strikes, prints = evening()
    strikes.append(recording("mat.csv", [1500.0, 2500.0], pad="felt"))
    prints += [contact_print(f"m{n}.png", 15e-4, n, of="sha-mat.csv") for n in (1, 2)]
    (contact,) = found(strikes, prints)
    assert [(one.pad, len(one.pairs)) for one in contact.against_force] == [("none", 8), ("felt", 2)]
    assert contact.against_force[1].law is None
    assert "2 prints have" in contact.against_force[1].why


def test_two_pictures_of_one_print_count_once():
    strikes, prints = evening()
    prints.append(contact_print("again.png", 13e-4, 3))
    (contact,) = found(strikes, prints)
    assert contact.repeats.count == 8
    pictures = {pair.contact_print.original.name for pair in contact.against_force[0].pairs}
    assert "again.png" in pictures
    assert "p3.png" not in pictures


def test_without_pairs_it_is_said_that_there_are_none():
    prints = [contact_print("loose.png", 14e-4, technique="kick")]
    (contact,) = found([], prints)
    assert contact.against_force[0].why.startswith("No print has the force")
    assert contact.against_force[0].hint


def test_prints_that_failed_or_name_no_technique_are_left_out():
    failed = original("bad.png", "print")
    error = UnmeasurableError("no-print", "There is none.", hint="Ink.")
    pair = (Print(failed, PrintDescription(technique="kick")), Measurement(original=failed, error=error))
    assert found([], [pair, contact_print("x.png", 1e-3)]) == ()


@pytest.mark.parametrize("exponent", [0.0, 0.5, 2.0 / 3.0])
def test_the_law_follows_the_prints(exponent):
    (contact,) = found(*evening(exponent))
    assert contact.against_force[0].law.exponent.value == pytest.approx(exponent, abs=0.06)


def sheet_of_two(name: str, areas: tuple[float, float], strike: int | None = None, **said: Any) -> Any:
    """Return a picture that holds two prints."""
    described, outcome = contact_print(name, sum(areas), strike, **said)
    each = [contact_print(f"{name}-{n}", area)[1].body["contact_area"] for n, area in enumerate(areas)]
    prints = [{"index": n, "contact_area": area} for n, area in enumerate(each, start=1)]
    return described, Measurement(original=outcome.original, body={**outcome.body, "prints": prints})


def test_of_two_prints_on_a_sheet_the_strike_has_none_until_one_is_named():
    strikes = [recording("evening.csv", [2000.0])]
    (joined,) = join_study(strikes, [sheet_of_two("two.jpg", (9e-4, 4e-4), 1)])
    assert joined.pressure is None
    assert joined.why == "two.jpg holds 2 prints, and nobody said which one is meant"
    assert not contacts_of(strikes, [sheet_of_two("two.jpg", (9e-4, 4e-4), 1)])


@pytest.mark.parametrize(("which", "area"), [("1", 9e-4), ("2", 4e-4), ("all", 13e-4)])
def test_the_named_print_gives_the_pressure_and_the_contact_area(which, area):
    strikes = [recording("evening.csv", [2000.0])]
    prints = [sheet_of_two("two.jpg", (9e-4, 4e-4), 1, which=which)]
    (joined,) = join_study(strikes, prints)
    assert joined.pressure is not None
    assert joined.pressure.own_print
    assert joined.pressure.mean_pressure.value == pytest.approx(2000.0 / area)
    (contact,) = contacts_of(strikes, prints)
    assert contact.repeats.mean.value == pytest.approx(area)


def test_a_print_that_is_not_there_is_told():
    (joined,) = join_study(
        [recording("evening.csv", [2000.0])], [sheet_of_two("two.jpg", (9e-4, 4e-4), 1, which="3")]
    )
    assert joined.why == "two.jpg holds no print 3, only 2"


def test_a_typical_print_is_taken_from_the_sheets_that_are_clear():
    prints = [
        sheet_of_two("two.jpg", (9e-4, 4e-4), technique="palm heel", athlete="K1"),
        contact_print("one.jpg", 10e-4, technique="palm heel", athlete="K1"),
    ]
    (joined,) = join_study([recording("evening.csv", [2000.0])], prints)
    assert joined.pressure is not None
    assert [one.original.name for one in joined.prints] == ["one.jpg"]
    assert joined.pressure.area.value == pytest.approx(10e-4)


@pytest.mark.parametrize("which", ["0", "left", "-1", "1.5", "2000", "²"])
def test_what_is_no_print_of_a_sheet_is_refused(which):
    with pytest.raises(WrongUseError) as caught:
        PrintDescription(which=which)
    assert caught.value.code == "unknown-print"
