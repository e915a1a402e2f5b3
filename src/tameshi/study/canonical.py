"""One text for one content: JSON in a form that does not depend on who wrote it or in what order.

Keys are sorted, there are no spaces, a whole number is written without a point (2.0 and 2 are the
same setting) and other floats in their shortest exact form. What JSON cannot hold is refused.
"""

import json
import math
from collections.abc import Mapping

from tameshi.errors import WrongUseError

_LARGEST_EXACT = 2**53
"""Up to here every whole float is the only float that stands for its number."""


def canonical_json(content: object) -> str:
    """Return content as canonical JSON.

    Parameters
    ----------
    content : mapping, list, tuple, str, int, float, bool or None
        Nested as needed; keys are text.

    Raises
    ------
    WrongUseError
        ``not-json``, naming the place, if there is anything else in it, an infinite number included.
    """
    plain = _plain(content, "it")
    return json.dumps(plain, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _plain(content: object, place: str) -> object:
    """Return content made of dict, list, str, int, float, bool and None only."""
    match content:
        case None | bool():
            return content
        case str():
            return _text(content, place)
        case int():
            return int(content)
        case float():
            return _number(content, place)
        case Mapping():
            return {_key(key, place): _plain(value, f"{place}[{key!r}]") for key, value in content.items()}
        case list() | tuple():
            return [_plain(value, f"{place}[{index}]") for index, value in enumerate(content)]
    raise _not_json(place, f"is a {type(content).__name__}")


def _number(number: float, place: str) -> float | int:
    if not math.isfinite(number):
        raise _not_json(place, f"is {number!r}")
    if number.is_integer() and abs(number) <= _LARGEST_EXACT:
        return int(number)
    return float(number)


def _key(key: object, place: str) -> str:
    if not isinstance(key, str):
        raise _not_json(place, f"has the key {key!r}, which is not text")
    return _text(key, place)


def _text(text: str, place: str) -> str:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise _not_json(place, "holds half a character") from error
    return text


def _not_json(place: str, what: str) -> WrongUseError:
    return WrongUseError(
        "not-json",
        f"This cannot be kept: {place} {what}.",
        hint="Keep numbers, text, lists and tables of them.",
    )
