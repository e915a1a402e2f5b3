"""tameshi target-sheet: the printable sheet to strike."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from tameshi.cli.shown import say


def target_sheet(
    output: Annotated[Path, typer.Option("-o", "--output", help="Where to write the PDF.")] = Path(
        "target-sheet.pdf"
    ),
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
) -> None:
    """Write the target sheet as a PDF to print at 100 %."""
    from tameshi.files import write_atomic
    from tameshi.report.sheet import sheet_pdf

    write_atomic(output, sheet_pdf(paper))
    say(f"{output}", 'Print it at 100 %, measure a bar, and pass what you measured: --bar "99.6 mm".')
