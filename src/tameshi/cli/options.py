"""Options that several commands share, each with its one sentence of help."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Units = Annotated[
    str, typer.Option("--units", envvar="TAMESHI_UNITS", help="Which units come first: si or us.")
]
Rig = Annotated[
    Path | None, typer.Option("--rig", help="Rig file (TOML): cell, amplifier, converter, plate.")
]
Channel = Annotated[str | None, typer.Option("--channel", help="Name of the channel that holds the force.")]
ForceScale = Annotated[
    str | None,
    typer.Option("--force-scale", help='Newtons for a volt, "2.5 kN/V", or at full scale, "5 kN".'),
]
Rate = Annotated[
    str | None,
    typer.Option("--rate", help='Sampling rate, "20 kHz": samples are counted, time stamps left alone.'),
]
ChannelClass = Annotated[
    int | None,
    typer.Option("--channel-class", help="Filter to a channel frequency class: 60, 180, 600 or 1000."),
]
CheckBudgets = Annotated[
    int | None,
    typer.Option(
        "--check-budgets",
        min=20,
        max=10_000,
        help="Simulate each strike so many times and hold its budget against what comes out.",
    ),
]
AcceptCutOff = Annotated[
    bool,
    typer.Option("--accept-cut-off", help="Measure what there is of a file shorter than it promises."),
]
Reference = Annotated[
    str,
    typer.Option(
        "--reference",
        help="What gives the picture its scale: auto, target, scan:600, sheet, sheet:a4, grid:5 mm, ruler, "
        "ruler:flat, ruler:bevelled or points.",
    ),
]
BarLength = Annotated[
    str | None,
    typer.Option("--bar", help='Measured length of the sheet\'s 100 mm bar, "99.6 mm".'),
]
Paper = Annotated[
    str | None,
    typer.Option("--paper", help="Paper of the sheet: a4 or letter; found out if left out."),
]
Points = Annotated[
    list[str] | None,
    typer.Option(
        "--point",
        help='A point picked in the picture, in pixels, and its place on the paper: "812,455=0 mm,100 mm". '
        "Four at least, around the print.",
    ),
]
LeaveOut = Annotated[
    list[str] | None,
    typer.Option(
        "--leave-out",
        help='A place inside a patch that is no contact, in millimetres on the paper: "62.5,110".',
    ),
]
TakeIn = Annotated[
    list[str] | None,
    typer.Option(
        "--take-in",
        help="A place inside ink that was set aside and is contact, in millimetres on the paper.",
    ),
]
Lasso = Annotated[
    list[str] | None,
    typer.Option(
        "--lasso",
        help='Count only ink inside this line, by its corners in millimetres: "40,90 80,90 80,130 40,130".',
    ),
]
OutlineAt = Annotated[
    float | None,
    typer.Option(
        "--outline-at",
        help="Where the outline runs, as a share of the way from paper to ink: 0.2 to 0.8; 0.5 if left out.",
    ),
]
Apart = Annotated[
    str | None,
    typer.Option(
        "--apart",
        help='How far apart, edge to edge, patches are prints of their own: "80 mm"; 40 mm if left out.',
    ),
]
WhichPrint = Annotated[
    str | None,
    typer.Option("--print", help="Which of several prints on the sheet the strike left: its number, or all."),
]
Lens = Annotated[
    Path | None,
    typer.Option("--lens", help="What is known of the camera's lens: a file that --keep-lens wrote."),
]
PickedWithin = Annotated[
    float, typer.Option("--picked-within", help="How well the points were picked, in pixels either way.")
]
PlacedWithin = Annotated[
    str | None,
    typer.Option("--placed-within", help='How well their places are known: "0.5 mm" if left out.'),
]

StrikerMass = Annotated[
    str | None,
    typer.Option("--striker-mass", help='Effective mass of what struck, "2.5 kg" or "2 kg to 3 kg".'),
]
StrikerSpeed = Annotated[
    str | None, typer.Option("--speed", help='Speed at contact, "8.5 m/s" or "8 m/s to 9 m/s".')
]
StrikerLike = Annotated[
    str | None,
    typer.Option(
        "--like", help="Published strikes that give mass and speed where neither is known: punch, palm."
    ),
]
