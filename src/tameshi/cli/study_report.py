"""Make a study's report and write it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from tameshi.cli.shown import progress
from tameshi.files import make_folder, write_atomic
from tameshi.report import make_report, to_html
from tameshi.study import open_study, prints, recordings

REPORT = "report.html"


def write_report(folder: Path, output: Path) -> Path:
    """Write the report of a study into a folder and return where it is."""
    with open_study(folder) as study:
        total = len(recordings(study)) + len(prints(study))
        with progress("measuring", total) as done:
            report = make_report(study, at=datetime.now(UTC), progress=done)
    make_folder(output)
    path = output / REPORT
    write_atomic(path, to_html(report).encode())
    return path
