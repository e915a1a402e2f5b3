"""Draw the target sheet: the same source gives a PDF to print and a picture to test with.

The layout is ``footprint.sheet``'s, millimetre for millimetre; here are only ink and words. Fonts
are those the typesetter carries and the time stamp is fixed, so the same version always draws the
same bytes.
"""

from typing import Literal

import numpy as np
import typst

from tameshi.footprint import BAR_LENGTH, MARKER_CELLS, Bar, Box, Sheet, marker_cells, sheet_layout
from tameshi.reference import row

_FIXED_TIME = 1735689600  # the first second of 2025, UTC
_TICK = 0.003

_TITLE = "tameshi target sheet"
_STEPS = (
    "Print at 100 % (actual size), not fitted to the page. Measure one bar with a ruler and tell tameshi: "
    '#raw("--bar \\"99.8 mm\\""). Ink the skin thinly, strike inside the frame once, let it dry. Photograph '
    "the whole sheet flat, in even light, all four corner squares in view."
)
_CAUTION = (
    "Strikes can injure the one who strikes and anyone near. Back the sheet with a firm pad, warm up, start "
    "lightly, stop when it hurts."
)
_FIELDS = (("Technique", 2.2), ("Athlete code", 1.4), ("Date", 1.2), ("Strike no.", 0.8))


def sheet_pdf(paper: str = "a4") -> bytes:
    """Return the target sheet as PDF.

    Parameters
    ----------
    paper : str
        ``"a4"`` or ``"letter"``.

    Raises
    ------
    WrongUseError
        If there is no such paper.
    """
    return _typeset(sheet_layout(paper), "pdf", None)


def sheet_png(paper: str = "a4", *, ppi: float) -> bytes:
    """Return the target sheet as a PNG picture.

    Parameters
    ----------
    paper : str
        ``"a4"`` or ``"letter"``.
    ppi : float
        Pixels an inch.
    """
    return _typeset(sheet_layout(paper), "png", ppi)


def _typeset(sheet: Sheet, form: Literal["pdf", "png"], ppi: float | None) -> bytes:
    return typst.compile(
        _source(sheet).encode("utf-8"),
        format=form,
        ppi=ppi,
        ignore_system_fonts=True,
        timestamp=_FIXED_TIME,
    )


def _source(sheet: Sheet) -> str:
    parts = [
        '#set document(title: "Target sheet", date: none)',
        f"#set page(width: {_mm(sheet.width)}, height: {_mm(sheet.height)}, margin: 0mm)",
        '#set text(font: "Libertinus Serif", size: 8pt, lang: "en")',
        "#set par(leading: 0.5em)",
        *(_marker(box, identity) for identity, box in enumerate(sheet.markers)),
        _frame(sheet),
        *(_bar(bar) for bar in sheet.bars),
        *(_filled(tint.box, f"luma({100.0 * (1.0 - tint.darkness):.0f}%)") for tint in sheet.tints),
        _bar_words(sheet),
        _head(sheet),
        _foot(sheet),
    ]
    return "\n".join(parts)


def _marker(box: Box, identity: int) -> str:
    """One path with the white cells as holes, so that no seam shows between neighbours."""
    cell = box.width / MARKER_CELLS
    corners = [(box.left + x * cell, box.top + y * cell) for y, x in np.argwhere(~marker_cells(identity))]
    holes = [Box(left, top, left + cell, top + cell) for left, top in corners]
    contours = ", ".join(_contour(part) for part in (box, *holes))
    return f'#place(top + left, curve(fill: black, fill-rule: "even-odd", stroke: none, {contours}))'


def _contour(box: Box) -> str:
    first, *rest = (f"({_mm(x)}, {_mm(y)})" for x, y in box.corners)
    return ", ".join([f"curve.move({first})", *(f"curve.line({point})" for point in rest), "curve.close()"])


def _frame(sheet: Sheet) -> str:
    zone = sheet.zone
    return _placed(
        zone.left,
        zone.top,
        f"rect(width: {_mm(zone.width)}, height: {_mm(zone.height)}, fill: none, "
        f"stroke: {_mm(sheet.line)} + black)",
    )


def _bar(bar: Bar) -> str:
    """Draw a line with ticks, whose middles are the bar's ends."""
    (x0, y0), (x1, y1) = bar.start, bar.end
    upright = x0 == x1
    half = _TICK / 2.0
    across = (half, 0.0) if upright else (0.0, half)
    strokes = [((x0, y0), (x1, y1))]
    strokes += [
        ((x - across[0], y - across[1]), (x + across[0], y + across[1])) for x, y in (bar.start, bar.end)
    ]
    return "\n".join(
        f"#place(top + left, line(start: ({_mm(a)}, {_mm(b)}), end: ({_mm(c)}, {_mm(d)}), "
        "stroke: 0.25mm + black))"
        for (a, b), (c, d) in strokes
    )


def _bar_words(sheet: Sheet) -> str:
    level, upright = sheet.bars
    words = f"{BAR_LENGTH * 1000.0:.0f} mm between the ticks: measure me"
    return "\n".join(
        [
            _placed(
                level.start[0],
                level.start[1] + 0.0018,
                f"box(width: {_mm(BAR_LENGTH)}, align(center, text(size: 6.5pt)[{words}]))",
            ),
            _placed(
                upright.start[0] - 0.0058,
                upright.start[1],
                f"box(width: 4mm, height: {_mm(BAR_LENGTH)}, align(center + horizon, "
                f"rotate(90deg, reflow: true, text(size: 6.5pt)[{words}])))",
            ),
        ]
    )


def _head(sheet: Sheet) -> str:
    first, second = sheet.markers[0], sheet.markers[1]
    left, width = first.right + 0.005, second.left - first.right - 0.010
    hint = "#text(size: 9pt)[▲ top ▲]"
    body = (
        f'#grid(columns: (1fr, auto), [#text(size: 11pt, weight: "bold")[{_TITLE}] '
        f"#h(2mm) #text(size: 6.5pt)[{row('papers', sheet.paper)['title']}]], "
        f'[{hint}])\n#v(-1.5mm)\n{_STEPS}\n\n#v(-1mm)\n#text(weight: "bold")[{_CAUTION}]'
    )
    return _placed(left, first.top, f"box(width: {_mm(width)}, height: {_mm(first.height)})[{body}]")


def _foot(sheet: Sheet) -> str:
    third, fourth = sheet.markers[2], sheet.markers[3]
    left, width = fourth.right + 0.005, third.left - fourth.right - 0.010
    top = sheet.bars[0].start[1] + 0.0065
    columns = ", ".join(f"{share}fr" for _, share in _FIELDS)
    cells = ", ".join(f"[{_blank(name)}]" for name, _ in _FIELDS)
    body = (
        f"#grid(columns: ({columns}), column-gutter: 3mm, {cells})\n#v(1.2mm)\n{_blank('Notes')}"
        f"\n#v(1.2mm)\n#box(width: 100%, height: 3mm, stroke: (bottom: 0.15mm))"
    )
    return _placed(left, top, f"box(width: {_mm(width)}, height: {_mm(third.bottom - top)})[{body}]")


def _blank(name: str) -> str:
    """Draw a field's name and a line to write on."""
    return f"#box(width: 100%)[{name} #box(width: 1fr, height: 3mm, stroke: (bottom: 0.15mm))]"


def _filled(box: Box, colour: str) -> str:
    return _placed(
        box.left,
        box.top,
        f"rect(width: {_mm(box.width)}, height: {_mm(box.height)}, fill: {colour}, stroke: none)",
    )


def _placed(x: float, y: float, what: str) -> str:
    return f"#place(top + left, dx: {_mm(x)}, dy: {_mm(y)}, {what})"


def _mm(metres: float) -> str:
    return f"{metres * 1000.0:.4f}mm"
