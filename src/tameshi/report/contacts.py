"""What a report says about contact area by technique, and how it grows with force."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tameshi.pressure import AreaLaw, in_words
from tameshi.quantity import Quantity, show
from tameshi.report.curves import axes_of
from tameshi.report.drawing import AreaForce, Cross, Point, Slope, Words
from tameshi.report.frame import Frame
from tameshi.report.notation import Notation
from tameshi.report.parts import ContactPart, LawPart, PairPart
from tameshi.report.remarks import remarks
from tameshi.study import AgainstForce, Contact, Pair

_BEYOND = 1.12  # how far the fit is drawn past the forces
_STEPS = 41


def contact_parts(contacts: Sequence[Contact], frame: Frame) -> tuple[ContactPart, ...]:
    """Return what is said about the contact areas of a study.

    Parameters
    ----------
    contacts : sequence of Contact
    frame : Frame
    """
    return tuple(_part(number, one, frame) for number, one in enumerate(contacts, start=1))


def _part(number: int, one: Contact, frame: Frame) -> ContactPart:
    repeats, notation = one.repeats, frame.notation
    name = one.technique[:1].upper() + one.technique[1:]
    return ContactPart(
        anchor=f"contact-{number}",
        name=f"{name}, {one.athlete}" if one.athlete else name,
        prints=tuple(frame.prints[each.original.sha256] for each in one.prints),
        mean=notation.entry(repeats.mean),
        next_print=notation.entry(repeats.next_print),
        scatter=_scatter(one),
        shared=repeats.shared,
        laws=tuple(
            _law(f"{number}-{place}", one, each, frame) for place, each in enumerate(one.against_force)
        ),
        remarks=remarks([flag.as_dict() for flag in repeats.flags]),
    )


def _scatter(one: Contact) -> str:
    """Return the scatter from print to print in words, relative."""
    repeats = one.repeats
    if repeats.scatter is None or repeats.scatter_interval is None:
        return "not known"
    share = [100.0 * value / repeats.mean.value for value in (repeats.scatter, *repeats.scatter_interval)]
    return f"{share[0]:.1f}\u00a0% ({share[1]:.1f} to {share[2]:.0f}\u00a0%)"


def _law(key: str, one: Contact, found: AgainstForce, frame: Frame) -> LawPart:
    law = found.law
    if law is None:
        return LawPart(
            pad=found.pad or "",
            words=f"No law of area against force can be given. {found.why} {found.hint}".strip(),
            exponent="",
            scatter="",
            pairs=tuple(_pair(pair, frame) for pair in found.pairs),
            laws=(),
            drawing=None,
            remarks=(),
        )
    low, high = law.scatter_interval
    return LawPart(
        pad=found.pad or "",
        words=in_words(law),
        exponent=str(show(law.exponent)),
        scatter=f"{100.0 * law.scatter:.1f}\u00a0% ({100.0 * low:.1f} to {100.0 * high:.0f}\u00a0%)",
        pairs=tuple(_pair(pair, frame) for pair in found.pairs),
        laws=law.laws,
        drawing=_drawing(key, one, law, found.pairs, frame.notation),
        remarks=remarks([flag.as_dict() for flag in law.flags]),
    )


def _pair(pair: Pair, frame: Frame) -> PairPart:
    return PairPart(
        contact_print=frame.prints[pair.contact_print.original.sha256],
        strike=frame.strike(pair.recording.original.sha256, pair.strike),
        force=frame.notation.entry(pair.force),
        area=frame.notation.entry(pair.area),
    )


def _drawing(key: str, one: Contact, law: AreaLaw, pairs: Sequence[Pair], notation: Notation) -> AreaForce:
    forces = np.geomspace(law.forces[0] / _BEYOND, law.forces[1] * _BEYOND, _STEPS)
    fit = [law.area_at(float(force)) for force in forces]
    words = Words(
        key=f"area-force-{key}",
        title=f"Contact area against peak force, {one.technique}",
        alternative=(
            f"{law.count} prints on logarithmic scales. The area grows with force to the power "
            f"{show(law.exponent)}. {in_words(law)}"
        ),
        caption=(
            "Each print is a point with its 95 % intervals; line and tint: the fit and its 95 % band. Broken "
            "lines: the slopes of simple laws of contact through its middle, heavier where the prints agree "
            "with them."
        ),
    )
    return AreaForce(
        words=words,
        across=axes_of("peak force", "N", notation),
        up=axes_of("contact area", "m2", notation),
        points=tuple(Cross(_point(pair.force), _point(pair.area)) for pair in pairs),
        force=forces,
        area=np.array([each.value for each in fit]),
        low=np.array([each.low for each in fit]),
        high=np.array([each.high for each in fit]),
        slopes=tuple(
            Slope(f"{each.name} ({each.written})", each.exponent, each.is_inside) for each in law.laws
        ),
    )


def _point(quantity: Quantity) -> Point:
    # a logarithmic scale has no place for nought
    return Point(quantity.value, max(quantity.low, 1e-3 * quantity.value), quantity.high)
