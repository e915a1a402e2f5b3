"""Words from outside, made fit to keep: file names, tags, notes and athlete codes.

A name from outside is data: it is shown and searched, never used as a path. Characters that a
screen would obey instead of show (line breaks, escape codes, reversed writing) are replaced and
the length is bounded. People are codes; a name is not needed anywhere and is refused.
"""

import re
import unicodedata

from tameshi.errors import WrongUseError

LONGEST_FILE_NAME = 120
LONGEST_TAG = 120
LONGEST_NOTE = 2000
LONGEST_CODE = 32

_EXTENSION = re.compile(r"\.([A-Za-z0-9]{1,8})$")
_REPLACEMENT = "_"


def clean_file_name(name: str) -> str:
    """Return the last part of a path as a name that can be shown: one line, bounded, never empty."""
    last = re.split(r"[/\\]", name)[-1]
    shown = "".join(_REPLACEMENT if _is_obeyed(char) else char for char in last).strip()
    if shown in {"", ".", ".."}:
        return "unnamed"
    ending = _ending(shown)
    stem = shown[: len(shown) - len(ending)]
    room = LONGEST_FILE_NAME - len(ending)
    return shown if len(stem) <= room else f"{stem[: room - 1]}…{ending}"


def extension(name: str) -> str:
    """Return a file name's ending in lower case with its dot, empty where it is not a plain one."""
    return _ending(name).lower()


def clean_tag(what: str, text: str | None) -> str | None:
    """Return one line of text with single spaces; None where nothing is left.

    Raises
    ------
    WrongUseError
        If it is longer than a tag may be.
    """
    return _bounded(what, _one_line(text or ""), LONGEST_TAG)


def clean_note(text: str | None) -> str | None:
    """Return a note of several lines, each tidied; None where nothing is left.

    Raises
    ------
    WrongUseError
        If it is longer than a note may be.
    """
    lines = [_one_line(line) for line in (text or "").splitlines()]
    return _bounded("note", "\n".join(lines).strip(), LONGEST_NOTE)


def clean_athlete(text: str | None) -> str | None:
    """Return an athlete's code, or refuse what looks like a name or an address.

    Raises
    ------
    WrongUseError
        If it has more than one word or an @.
    """
    code = _one_line(text or "")
    if " " in code or "@" in code:
        raise WrongUseError(
            "not-a-code",
            f"{code[:LONGEST_CODE]!r} looks like a name or an address; people are kept as codes.",
            hint="Use a code such as A07 and keep the list of names somewhere else.",
        )
    return _bounded("athlete", code, LONGEST_CODE)


def _ending(name: str) -> str:
    match = _EXTENSION.search(name)
    return match.group(0) if match and match.start() > 0 else ""


def _one_line(text: str) -> str:
    return " ".join("".join(" " if _is_obeyed(char) else char for char in text).split())


def _is_obeyed(char: str) -> bool:
    """Whether a character is a control, format, surrogate, private or unassigned one, or ends a line."""
    return unicodedata.category(char) in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def _bounded(what: str, text: str, longest: int) -> str | None:
    if len(text) > longest:
        raise WrongUseError(
            "too-long",
            f"The {what} has {len(text)} characters; at most {longest} are kept.",
            hint="Shorten it.",
        )
    return text or None
