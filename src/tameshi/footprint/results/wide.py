"""Whether an area may be off by so much that nobody should use it without a word."""

from tameshi.errors import Flag
from tameshi.quantity import Quantity
from tameshi.reference import table

_OFF, _SURE = 0.05, 0.99  # of the area; how sure it must be that it is not off by so much


def wide_flags(area: Quantity) -> tuple[Flag, ...]:
    """Return a flag where an area could well be off by a twentieth, naming what limits it most.

    Parameters
    ----------
    area : Quantity
    """
    half = 0.5 * (area.high - area.low)
    surely = half * area.expanded(_SURE) / area.expanded() if half else 0.0
    if surely <= _OFF * area.value:
        return ()
    line, most = next(iter(area.budget.items()))
    remedy = table("improvements").rows.get(line)
    message = (
        f"The area may be off by more than {100.0 * _OFF:.0f} %: its 95 % interval is as wide as "
        f"± {100.0 * half / area.value:.1f} %, and {100.0 * (most / area.u) ** 2:.0f} % of that, in squares, "
        f"is one line of its budget: {line}." + (f" To narrow it: {remedy['remedy']}." if remedy else "")
    )
    return (Flag("wide-interval", message),)
