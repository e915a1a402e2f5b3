"""What corrections by hand did to a print: said beside the area, and kept in its budget."""

from collections.abc import Callable
from dataclasses import replace

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.ink.area import sum_if_known, sum_of
from tameshi.footprint.results.corrections import HALF_WAY, Corrections
from tameshi.footprint.results.model import Footprint
from tameshi.quantity import Measured, Quantity, Source, rectangular_u

_CODE = "corrected-by-hand"

Again = Callable[[Corrections], Footprint]


def corrected(measured: Footprint, again: Again, *, key: str) -> Footprint:
    """Return a corrected print with the flag that says so and, where its outline was moved, the doubt.

    Parameters
    ----------
    measured : Footprint
        As corrected.
    again : callable
        Measures the same picture with other corrections.
    key : str
        Identity of the picture: a person's judgement of one has no bearing on another.

    Raises
    ------
    UnmeasurableError
        If the outline was moved and half way to the ink there is no print.
    """
    corrections = measured.corrections
    if corrections.is_moved:
        half_way = again(replace(corrections, outline_at=HALF_WAY))
        measured = _doubted(measured, half_way.contact_area.value, key)
    what = "; ".join(corrections.words())
    message = (
        f"Corrected by hand: {what}. Contact area {_before(again)} before, "
        f"{_area(measured.contact_area)} after."
    )
    return replace(measured, flags=(*measured.flags, Flag(_CODE, message)))


def _before(again: Again) -> str:
    try:
        return _area(again(Corrections()).contact_area)
    except UnmeasurableError as error:
        return f"refused ({error.code})"


def _doubted(measured: Footprint, half_way: float, key: str) -> Footprint:
    """Return the print with the move in its budget: the area half way lies within the limits.

    Who moves an outline has seen something that the picture does not measure; how far to move it
    is a judgement, and the whole step is taken for its half width.
    """
    whole = measured.contact_area.value
    share = abs(whole - half_way) / whole
    source = Source(f"{key}:outline-by-hand", "outline moved by hand")
    patches = tuple(
        replace(
            patch,
            contact_area=_with(patch.contact_area, source, share),
            inked_area=_doubt_if_known(patch.inked_area, source, share),
            axes=replace(
                patch.axes,
                major=_with(patch.axes.major, source, 0.5 * share),
                minor=_with(patch.axes.minor, source, 0.5 * share),
            ),
        )
        for patch in measured.patches
    )
    prints = tuple(
        replace(
            one,
            contact_area=sum_of(patches[n - 1].contact_area for n in one.patches),
            inked_area=sum_if_known(patches[n - 1].inked_area for n in one.patches),
        )
        for one in measured.prints
    )
    return replace(
        measured,
        patches=patches,
        prints=prints,
        contact_area=sum_of(patch.contact_area for patch in patches),
        inked_area=sum_if_known(patch.inked_area for patch in patches),
    )


def _with(area: Quantity, source: Source, share: float) -> Quantity:
    doubted = area.with_part(source, rectangular_u(share) * area.value)
    if area.interval is None:
        return doubted
    low, high = (bound * (1.0 + way * share) for bound, way in zip(area.interval, (-1.0, 1.0), strict=True))
    return doubted.with_interval(low, high)


def _doubt_if_known(area: Measured, source: Source, share: float) -> Measured:
    return _with(area, source, share) if isinstance(area, Quantity) else area


def _area(area: Quantity) -> str:
    return f"{1e4 * area.value:.2f} cm²"
