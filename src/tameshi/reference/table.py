"""Load reference tables and look rows up in them."""

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from tameshi.errors import WrongUseError

Row = Mapping[str, Any]

_ENDINGS = ("toml", "csv")


@dataclass(frozen=True, slots=True)
class Table:
    """One published or fixed table.

    Parameters
    ----------
    name : str
        File name without its ending.
    title : str
        What the table holds, in our own words.
    rows : mapping
        Rows by their key, in the order of the file.
    """

    name: str
    title: str
    rows: Mapping[str, Row]


@cache
def table(name: str) -> Table:
    """Return the reference table of this name.

    Raises
    ------
    WrongUseError
        If there is no such table.
    """
    folder = files(__package__)
    resource, many = folder.joinpath(f"{name}.toml"), folder.joinpath(f"{name}.csv")
    if many.is_file():
        return _from_csv(name, many.read_text(encoding="utf-8"))
    if not resource.is_file():
        raise WrongUseError(
            "unknown-table",
            f"There is no reference table {name!r}.",
            hint=f"There are: {', '.join(table_names())}.",
        )
    content = tomllib.loads(resource.read_text(encoding="utf-8"))
    default_source = content.get("source")
    rows = {entry["key"]: MappingProxyType({"source": default_source, **entry}) for entry in content["row"]}
    return Table(name=name, title=content["title"], rows=MappingProxyType(rows))


def row(name: str, key: str) -> Row:
    """Return one row of a table.

    Raises
    ------
    WrongUseError
        If the table or the row does not exist; the message lists the keys there are.
    """
    rows = table(name).rows
    if key not in rows:
        raise WrongUseError(
            "unknown-name",
            f"There is no {key!r} in the reference table {name!r}.",
            hint=f"There are: {', '.join(rows)}.",
        )
    return rows[key]


def source(key: str) -> Row:
    """Return the citation a row points to: authors, year, title, status."""
    return row("sources", key)


def table_names() -> tuple[str, ...]:
    """Return the names of all reference tables."""
    entries = (entry.name.rpartition(".") for entry in files(__package__).iterdir())
    return tuple(sorted(name for name, _, ending in entries if ending in _ENDINGS))


def _from_csv(name: str, text: str) -> Table:
    """Return a table of many alike rows: its title in a first line after a #, then comma-separated text."""
    first, _, rest = text.partition("\n")
    rows = {entry["key"]: MappingProxyType(entry) for entry in csv.DictReader(rest.splitlines(), strict=True)}
    return Table(name=name, title=first.lstrip("# "), rows=MappingProxyType(rows))
