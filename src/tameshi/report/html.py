"""Set a report as one HTML page that needs nothing else: no network, no script, no other file.

Names, notes and whatever a file says of itself come from outside: the template escapes everything, and
the page forbids itself to load or run anything. Only drawings made here are put in as they are.
"""

from __future__ import annotations

import base64
import io
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

from markupsafe import Markup

from tameshi.report.comparison import ComparisonDrawing
from tameshi.report.content import Report
from tameshi.report.drawing import Drawing
from tameshi.report.humps import NeedAndStrike
from tameshi.report.parts import Picture
from tameshi.report.plate_and_part import PlateAndPart

if TYPE_CHECKING:
    from jinja2 import Environment

_QUALITY = 86
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def to_html(report: Report) -> str:
    """Return a report as an HTML page.

    Parameters
    ----------
    report : Report

    Returns
    -------
    str
        The whole page; the same for the same report.
    """
    return _environment().get_template("report.html").render(report=report)


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # noqa: PLC0415  only pages need it

    environment = Environment(
        loader=PackageLoader("tameshi.report", "template"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals["style_sheet"] = _style_sheet
    environment.filters.update(moment=_moment, stamp=_stamp, drawn=_drawn, embedded=_embedded)
    return environment


def _style_sheet() -> Markup:
    source, *_ = _environment().loader.get_source(_environment(), "report.css")  # type: ignore[union-attr]
    return Markup(source)  # noqa: S704  a file of our own


def _moment(at: datetime) -> str:
    """Return a moment in UTC as people write it, whatever the language of this machine."""
    return f"{at.day} {_MONTHS[at.month - 1]} {at.year}, {at:%H:%M} UTC"


def _stamp(at: datetime) -> str:
    """Return a moment in UTC for a column of moments."""
    return f"{at:%Y-%m-%d %H:%M}"


def _drawn(drawing: Drawing | NeedAndStrike | PlateAndPart | ComparisonDrawing) -> Markup:
    from tameshi.report.figures import to_svg  # noqa: PLC0415  heavy, and only drawing needs it

    return Markup(to_svg(drawing))  # noqa: S704  the words in it are escaped where it is drawn


def _embedded(picture: Picture) -> dict[str, object]:
    """Return a picture as a small JPEG inside the page, with its size."""
    from PIL import Image  # noqa: PLC0415  only pictures need it

    written = io.BytesIO()
    with Image.open(io.BytesIO(picture.png)) as opened:
        opened.convert("RGB").save(written, "JPEG", quality=_QUALITY, subsampling=0, optimize=True)
        width, height = opened.size
    data = base64.b64encode(written.getvalue()).decode("ascii")
    return {"address": f"data:image/jpeg;base64,{data}", "width": width, "height": height}
