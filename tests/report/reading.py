"""Read a page as a browser would, as far as tests need it."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "img", "br", "hr", "input"}


@dataclass
class Element:
    """One element: its tag, attributes, text and children."""

    tag: str
    attributes: dict[str, str]
    children: list["Element"] = field(default_factory=list)
    words: list[str] = field(default_factory=list)

    def all(self, *tags: str) -> list["Element"]:
        """Return this and all elements below it, those with one of the tags if any are named."""
        below = [one for child in self.children for one in child.all(*tags)]
        return [self, *below] if not tags or self.tag in tags else below

    @property
    def text(self) -> str:
        return " ".join(" ".join(one.words) for one in self.all())


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Element("root", {})
        self.open = [self.root]
        self.unbalanced: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        made = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(made)
        if tag not in VOID:
            self.open.append(made)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].children.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if self.open[-1].tag == tag:
            self.open.pop()
        else:
            self.unbalanced.append(tag)

    def handle_data(self, data: str) -> None:
        self.open[-1].words.append(data)


def read(page: str) -> Element:
    """Return the tree of a page, after making sure that every element that was opened is closed."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    assert not reader.unbalanced, reader.unbalanced
    assert reader.open == [reader.root]
    return reader.root
