"""Every row of published tolerance: known words, plausible numbers, a source, and no verdict."""

import csv
import math
import re
from collections import Counter
from importlib.resources import files

import pytest

from tameshi.quantity import parse_unit
from tameshi.reference import source, table
from tameshi.tolerance import (
    Kind,
    Published,
    Statistic,
    Status,
    Way,
    kind_facts,
    published_values,
    spread_of,
)

ROWS = published_values()
REGIONS = {key for key, row in table("tolerance_regions").rows.items() if "group" not in row}
SURFACES = {surface for row in table("striking_surfaces").rows.values() for surface in row["surfaces"]}
NUMBERED = {Statistic.MEAN_AND_SD, Statistic.MEDIAN_AND_PERCENTILES}


def numbers(row: Published) -> list[float]:
    return [number for number in (row.low, row.value, row.high) if number is not None]


def test_no_key_stands_twice() -> None:
    text = (files("tameshi.reference") / "tolerance.csv").read_text(encoding="utf-8")
    keys = Counter(row["key"] for row in csv.DictReader(text.splitlines()[1:], strict=True))
    assert not [key for key, count in keys.items() if count > 1]
    assert len(ROWS) == sum(keys.values())


def test_every_line_of_the_file_has_every_column() -> None:
    text = (files("tameshi.reference") / "tolerance.csv").read_text(encoding="utf-8")
    lines = list(csv.reader(text.splitlines()[1:], strict=True))
    assert {len(line) for line in lines} == {len(lines[0])}


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_is_in_the_table_of_kinds(kind: Kind) -> None:
    facts = kind_facts(kind)
    assert facts.low < facts.high
    assert facts.why.endswith(".")
    assert parse_unit(facts.unit).dimension == parse_unit(facts.si).dimension


def test_the_list_of_kinds_is_closed() -> None:
    assert {kind.value for kind in Kind} == set(table("tolerance_kinds").rows)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_a_row_is_plausible(row: Published) -> None:
    facts = kind_facts(row.kind)
    assert parse_unit(row.unit).dimension == parse_unit(facts.unit).dimension
    found = numbers(row)
    assert found
    assert all(facts.low <= number <= facts.high for number in found)
    assert found == sorted(found)
    assert row.region in REGIONS
    assert set(row.surfaces) <= SURFACES
    assert row.outcome
    assert row.surrogate
    assert row.loading


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_a_row_names_its_source_and_how_it_is_known(row: Published) -> None:
    cited = source(row.source)
    assert row.locator
    assert row.note.endswith(".")
    assert (row.status is Status.MEMORY) == (cited["status"] == "memory")
    # nobody may call a value seen without saying what was read and when
    assert row.status is not Status.VERIFIED or re.match(r"20\d\d-\d\d-\d\d: .+", cited.get("read", ""))


def test_a_source_that_was_read_is_seen_and_one_handed_down_was_not_read() -> None:
    for cited in table("sources").rows.values():
        assert cited["status"] in {"seen", "handed down", "memory", "derived", "practice", "ours"}
        assert "read" not in cited or cited["status"] == "seen"


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_a_statistic_has_the_numbers_it_needs(row: Published) -> None:
    if row.statistic in NUMBERED:
        assert row.value is not None
        assert row.low is not None
        assert row.high is not None
    if row.statistic is Statistic.MEAN_AND_SD:
        assert row.value is not None
        assert row.high is not None
        assert row.low is not None
        # symmetric as printed, to the digit
        step = 0.06 * row.value
        assert math.isclose(row.high - row.value, row.value - row.low, abs_tol=step)
    if row.statistic in {Statistic.RISK, Statistic.RISK_RANGE}:
        assert row.risk is not None
        assert 0.0 < row.risk < 1.0
    assert spread_of(row).low <= spread_of(row).high


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_the_way_of_a_row_fits_its_kind(row: Published) -> None:
    reach = kind_facts(row.kind).reach
    allowed = {
        "never": {Way.NEVER},
        "model": {Way.MODEL, Way.NEVER},
        "band": {Way.ONE_SIDE, Way.NEVER},
        "measured": set(Way),
    }
    assert row.way in allowed[reach]
    if row.way is Way.OWN_LIMB:
        assert row.surfaces


def test_areas_and_pulses_are_plausible() -> None:
    for row in ROWS:
        assert row.area is None or 0.5e-4 <= row.area <= 0.05, row.key
        assert all(end is None or 1e-4 <= end <= 0.2 for end in row.pulse), row.key


def test_short_contact_doubles_the_limit_but_not_on_the_head() -> None:
    # ISO/TS 15066, table A.2, note c
    (force,) = (row for row in ROWS if row.key == "iso-tf")
    assert force.value is not None
    for row in ROWS:
        if row.key.startswith(("iso-f", "iso-p")) and row.key[-1].isdigit():
            assert row.value is not None
            expected = None if row.region in {"skull", "face"} else force.value * row.value
            assert row.high == expected, row.key


def test_what_is_memory_says_so_and_is_the_smaller_part() -> None:
    tally = Counter(row.status for row in ROWS)
    assert 0 < tally[Status.MEMORY] < tally[Status.VERIFIED]


@pytest.mark.parametrize(
    "name",
    [
        "tolerance",
        "tolerance_kinds",
        "tolerance_cautions",
        "tolerance_gaps",
        "tolerance_regions",
        "tolerance_relations",
        "striking_surfaces",
    ],
)
def test_no_word_is_a_verdict(name: str) -> None:
    words = " ".join(str(value) for row in table(name).rows.values() for value in row.values())
    assert not re.search(
        r"safe|harmless|no risk|not dangerous|will (break|fracture)|would fracture", words, re.IGNORECASE
    )
