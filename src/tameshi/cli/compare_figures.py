"""Draw a comparison into a folder: each picture as SVG and PNG, with a list of what it shows."""

from __future__ import annotations

import re
from pathlib import Path

from tameshi.cli.study_work import Seen
from tameshi.comparison import Comparison
from tameshi.files import make_folder, write_atomic
from tameshi.quantity import System
from tameshi.report.comparison import ComparisonDrawing, distributions, force_area, paired, timelines
from tameshi.report.figures.comparison import picture_of
from tameshi.report.notation import notation_for
from tameshi.study import Trials, trials_of

CAPTIONS = "captions.txt"
_FORMS = ("svg", "png")


def write_figures(
    comparison: Comparison, trials: Trials, seen: Seen, folder: Path, *, system: System, over_film: bool
) -> list[Path]:
    """Write the figures of a comparison and return where they are."""
    make_folder(folder)
    drawings = drawings_of(comparison, trials, seen, system)
    written = []
    for drawing in drawings:
        for form in _FORMS:
            path = folder / f"{_name(drawing, over_film=over_film)}.{form}"
            write_atomic(path, picture_of(drawing, form, over_film=over_film))
            written.append(path)
    lines = [
        f"{drawing.words.title}\n{drawing.words.alternative}\n{drawing.words.caption}\n"
        for drawing in drawings
    ]
    lines.append("A larger figure is no better strike: none of this says what a strike may be used for.\n")
    write_atomic(folder / CAPTIONS, "\n".join(lines).encode())
    return [*written, folder / CAPTIONS]


def drawings_of(
    comparison: Comparison, trials: Trials, seen: Seen, system: System
) -> list[ComparisonDrawing]:
    """Return the drawings of a comparison: distributions, force against area, timelines."""
    areas = trials_of(seen.strikes, seen.joined, figure="contact_area", by=trials.by)
    forces = trials_of(seen.strikes, seen.joined, figure="peak_force", by=trials.by)
    every = [trial.value for each in (trials, areas, forces) for own in each.groups.values() for trial in own]
    notation = notation_for(system, every)
    figure = trials.figure.replace("_", " ")
    outliers = frozenset(
        group.sample.trials[place].label for group in comparison.groups for place in group.sample.outliers
    )
    names = {recording.original.sha256: recording.original.name for recording, _ in seen.strikes}
    pairs = paired(areas.groups, forces.groups)
    drawn = sum(len(pair[0]) for pair in pairs.values())
    found: list[ComparisonDrawing | None] = [
        distributions(comparison.groups, figure, notation),
        force_area(pairs, notation, without=len(seen.joined) - drawn),
        *timelines(trials.techniques, figure, notation, outliers=outliers, names=names),
    ]
    return [drawing for drawing in found if drawing is not None]


def _name(drawing: ComparisonDrawing, *, over_film: bool) -> str:
    plain = re.sub(r"[^a-z0-9]+", "-", drawing.words.key.lower()).strip("-")
    return f"{plain}-over-film" if over_film else plain
