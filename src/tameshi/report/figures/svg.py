"""From a matplotlib figure to SVG that can stand inside a page, small and with words for the blind.

What matplotlib adds for its own sake (date, creator, a white ground, names of groups) is taken out,
coordinates are cut to a hundredth of a point, and what is left of names is made the drawing's own, so
that several drawings on one page do not get into each other's way.
"""

from __future__ import annotations

import io
import re
import warnings
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from tameshi.report.drawing import Words

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_SVG = "http://www.w3.org/2000/svg"
_LINK = "{http://www.w3.org/1999/xlink}href"
_NUMBER = re.compile(r"-?\d+\.\d{3,}")
_REFERENCE = re.compile(r"url\(#([^)]+)\)")
_WITH_NUMBERS = ("d", "x", "y", "transform", "width", "height", "points")


def as_svg(figure: Figure, words: Words) -> str:
    """Return a drawn figure as an SVG element with its name and description.

    Parameters
    ----------
    figure : matplotlib Figure
    words : Words
    """
    written = io.BytesIO()
    with warnings.catch_warnings():
        # words from outside may be in any script; the reader's own fonts will draw them
        warnings.filterwarnings("ignore", message=".*Glyph", category=UserWarning)
        figure.savefig(written, format="svg", transparent=True, metadata={"Date": None, "Creator": None})
    ET.register_namespace("", _SVG)
    root = ET.fromstring(written.getvalue())  # noqa: S314  our own drawing
    _without_metadata(root)
    _named(root, words.key)
    _described(root, words)
    _compact(root)
    return ET.tostring(root, encoding="unicode", short_empty_elements=True)


def _without_metadata(root: ET.Element) -> None:
    """Drop what says nothing; a style sheet inside a drawing would style the whole page."""
    for element in root.findall(f"{{{_SVG}}}metadata"):
        root.remove(element)
    for group in root.findall(f"{{{_SVG}}}defs"):
        for sheet in group.findall(f"{{{_SVG}}}style"):
            group.remove(sheet)
        if not len(group):
            root.remove(group)
    root.set("style", "stroke-linejoin: round; stroke-linecap: butt")
    for name in ("width", "height", "version"):
        root.attrib.pop(name, None)


def _named(root: ET.Element, key: str) -> None:
    """Keep only the names that something refers to, and make them this drawing's own."""
    used: set[str] = set()
    for element in root.iter():
        used.update(name for value in element.attrib.values() for name in _REFERENCE.findall(value))
        if element.get(_LINK, "").startswith("#"):
            used.add(element.attrib[_LINK][1:])
    own = {name: f"{key}-{number}" for number, name in enumerate(sorted(used))}
    for element in root.iter():
        name = element.attrib.pop("id", None)
        if name in own:
            element.set("id", own[name])
        for attribute, value in element.attrib.items():
            element.set(attribute, _REFERENCE.sub(lambda found: f"url(#{own[found[1]]})", value))
        if element.get(_LINK, "").startswith("#"):
            element.set("href", f"#{own[element.attrib.pop(_LINK)[1:]]}")


def _described(root: ET.Element, words: Words) -> None:
    title, description = ET.Element("title"), ET.Element("desc")
    title.set("id", f"{words.key}-title")
    description.set("id", f"{words.key}-desc")
    title.text, description.text = words.title, words.alternative
    root.insert(0, description)
    root.insert(0, title)
    root.set("role", "img")
    root.set("aria-label", words.title)
    root.set("aria-describedby", f"{words.key}-desc")
    root.set("preserveAspectRatio", "xMidYMid meet")


def _compact(element: ET.Element) -> None:
    """Take out what draws nothing, blanks between elements, and digits nobody sees."""
    for child in list(element):
        _compact(child)
        unseen = child.tag == f"{{{_SVG}}}path" and child.get("style") == "fill: none"
        if unseen or (child.tag == f"{{{_SVG}}}g" and not len(child)):
            element.remove(child)
        child.tail = None
    if not (element.text or "").strip():
        element.text = None
    for name in _WITH_NUMBERS:
        if name in element.attrib:
            shorter = _NUMBER.sub(_shorter, element.attrib[name])
            element.attrib[name] = " ".join(shorter.split())
    if element.get("transform", "").startswith("rotate(-0 "):
        del element.attrib["transform"]


def _shorter(number: re.Match[str]) -> str:
    return f"{float(number[0]):.2f}".rstrip("0").rstrip(".")
