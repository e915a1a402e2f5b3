"""Read a short length that a person typed behind a reference: 5 mm, 1/4 in."""

import re

from tameshi.quantity import parse_quantity

_FRACTION = re.compile(r"\s*(\d{1,2})\s*/\s*([1-9]\d{0,2})\s*([^\d\s].*)")


def stated_length(typed: str) -> float:
    """Return a typed length in metres; fractions are read as people write them on rulers.

    Parameters
    ----------
    typed : str

    Raises
    ------
    UnitError
        If it is no number with a unit of length.
    """
    fraction = _FRACTION.fullmatch(typed)
    if fraction is None:
        return parse_quantity(typed, "length")
    count, of, unit = fraction.groups()
    return int(count) * parse_quantity(f"1 {unit}", "length") / int(of)
