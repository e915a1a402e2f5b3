"""Measure one file or several: one that cannot be measured does not stop the rest."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import typer

from tameshi.cli.outcome import error_object, print_error, print_json
from tameshi.cli.shown import progress
from tameshi.errors import TameshiError

Measured = TypeVar("Measured")


def measure_each(
    paths: list[Path],
    measure: Callable[[Path], Measured],
    as_dict: Callable[[Measured], dict[str, Any]],
    show: Callable[[Measured], None],
    *,
    of: str,
    as_json: bool,
    together: Callable[[list[Measured]], dict[str, Any]] | None = None,
) -> None:
    """Measure files and print what was found.

    Parameters
    ----------
    paths : list of Path
    measure, as_dict, show : callable
        From path to measurement, from measurement to object and to words.
    of : str
        What the files are, ``"recordings"``: names the schema of several results.
    as_json : bool
    together : callable or None
        What several measurements say together: shows it to a person, returns it for the object.

    Raises
    ------
    TameshiError
        Where the only file cannot be measured.
    Exit
        With the worst status, where some of several cannot.
    """
    if len(paths) == 1:
        measured = measure(paths[0])
        if as_json:
            print_json(as_dict(measured))
        else:
            show(measured)
        return
    results: list[dict[str, Any]] = []
    good: list[Measured] = []
    worst = 0
    with progress(of, len(paths)) as done:
        for path in paths:
            try:
                measured = measure(path)
            except TameshiError as error:
                worst = max(worst, error.exit_status)
                results.append({"file": path.name, "error": error_object(error)})
                if not as_json:
                    print_error(error, as_json=False)
            else:
                good.append(measured)
                results.append(as_dict(measured))
                if not as_json:
                    show(measured)
            done(path.name)
    said = together(good) if together is not None else {}
    if as_json:
        print_json({"schema": f"tameshi.{of}/1", of: results, **said})
    if worst:
        raise typer.Exit(worst)
