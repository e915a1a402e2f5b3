"""Reference tables: by name, with a title, rows by key, from TOML and from comma-separated text."""

import pytest

from tameshi.errors import WrongUseError
from tameshi.reference import row, table, table_names


def test_tables_of_both_forms_are_listed_and_read() -> None:
    assert {"units", "tolerance"} <= set(table_names())
    for name in table_names():
        found = table(name)
        assert found.title
        assert all(key == entry["key"] for key, entry in found.rows.items())


def test_comma_separated_text_keeps_what_stands_in_it() -> None:
    found = row("tolerance", "lb-04")
    assert found["surrogate"] == "8 radii"
    assert (found["value"], found["low"], found["high"]) == ("2142", "913", "3371")
    assert table("tolerance").title.startswith("What parts of the body bear")


def test_what_is_not_there_is_refused_by_name() -> None:
    with pytest.raises(WrongUseError) as caught:
        table("weather")
    assert (caught.value.code, "tolerance" in caught.value.hint) == ("unknown-table", True)
    with pytest.raises(WrongUseError) as caught:
        row("tolerance", "nobody")
    assert caught.value.code == "unknown-name"
