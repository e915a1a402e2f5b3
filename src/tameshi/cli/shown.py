"""What commands print for people: tables, flags, progress. Results go to standard output."""

from __future__ import annotations

import io
import shutil
import sys
from collections.abc import Iterable, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from tameshi.errors import Flag, WrongUseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tameshi.quantity import Measured, System

_WIDTH_WHEN_PIPED = 140


def system_of(units: str) -> System:
    """Return the unit system a person named.

    Raises
    ------
    WrongUseError
        If it is neither si nor us.
    """
    if units == "si":
        return "si"
    if units == "us":
        return "us"
    raise WrongUseError("unknown-units", f"There are no units {units!r}.", hint="Write si or us.")


def both_units(measured: Measured, first: System) -> tuple[str, str]:
    """Return a quantity with its interval in one system, and its value in the other."""
    from tameshi.quantity import Missing, show, show_bound

    if isinstance(measured, Missing):
        if measured.at_least is None:
            return "not given", ""
        return f"at least {show_bound(measured, first)}", ""
    second: System = "us" if first == "si" else "si"
    one, other = show(measured, first), show(measured, second)
    return str(one), f"{other.value} {other.unit}" if other.unit != one.unit else ""


def print_table(title: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table, as wide as the terminal lets it be."""
    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(title=Text(title), title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    for place, heading in enumerate(headings):
        table.add_column(heading, justify="left" if place == 0 else "right", overflow="fold")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    # drawn into a text first: a reader that stops reading is then no different from any other output
    drawn = io.StringIO()
    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else _WIDTH_WHEN_PIPED
    Console(file=drawn, width=width, highlight=False, force_terminal=sys.stdout.isatty()).print(table)
    sys.stdout.write(drawn.getvalue())


def print_flags(flags: Iterable[Flag]) -> None:
    """Print flags, one sentence a line."""
    for flag in flags:
        place = f"strike {flag.strike}: " if flag.strike is not None else ""
        sys.stdout.write(f"  ! {place}{flag.message} [{flag.code}]\n")


def say(*lines: str) -> None:
    """Print lines on standard output."""
    sys.stdout.writelines(f"{line}\n" for line in lines)


def note(line: str) -> None:
    """Print a line on standard error: news of the work, not part of its result."""
    sys.stderr.write(f"{line}\n")


@contextmanager
def progress(what: str, total: int) -> Iterator[Callable[[str], None]]:
    """Show a progress bar on a terminal while several things are done; nothing where output is piped."""
    if total <= 1 or not sys.stderr.isatty():
        yield lambda _name: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=total)
        yield lambda name: bar.update(task, advance=1, description=name)
