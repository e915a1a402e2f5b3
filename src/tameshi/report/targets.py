"""What a report says of targets to break: what each needs, and the chance of each technique on it."""

from __future__ import annotations

from collections.abc import Sequence

from tameshi.quantity import Quantity, show_both
from tameshi.report.breaking import breaking_drawing
from tameshi.report.frame import Frame
from tameshi.report.parts import Fact, Link, Named, OnTargetPart, TargetPart
from tameshi.report.remarks import refusal, remarks
from tameshi.study import OnTarget, ToBreak
from tameshi.target.breaking import Outcome, Target, chance_in_words

NEEDS = {
    "static_force": "Force, slowly",
    "force": "Force, in a strike",
    "deflection": "Deflection at the break",
    "energy": "Energy to break",
}
_TOLD = 0.05


def target_parts(broken: Sequence[ToBreak], frame: Frame) -> tuple[TargetPart, ...]:
    """Return what is said about the targets of a study.

    Parameters
    ----------
    broken : sequence of ToBreak
    frame : Frame
    """
    return tuple(_part(f"target-{number}", one, frame) for number, one in enumerate(broken, start=1))


def _part(anchor: str, one: ToBreak, frame: Frame) -> TargetPart:
    place = Link(anchor, one.original.name)
    if one.alone is None or one.error is not None:
        return TargetPart(place=place, refused=refusal(place, one.error) if one.error else None)
    alone = one.alone
    own = {flag.code for flag in alone.flags}
    return TargetPart(
        place=place,
        facts=_facts(alone.target, frame),
        needs=tuple(
            Named(words, frame.notation.entry(getattr(alone.needs, key))) for key, words in NEEDS.items()
        ),
        techniques=tuple(
            _on_target(f"{anchor}-{number}", each, own, frame)
            for number, each in enumerate(one.techniques, start=1)
        ),
        sources=_sources(one),
        remarks=remarks([flag.as_dict() for flag in alone.flags]),
    )


def _sources(one: ToBreak) -> tuple[str, ...]:
    found = [one.alone, *(each.prediction for each in one.techniques)]
    return tuple(dict.fromkeys(key for prediction in found if prediction for key in prediction.sources))


def _on_target(key: str, one: OnTarget, own: set[str], frame: Frame) -> OnTargetPart:
    if one.prediction is None or one.prediction.outcome is None:
        return OnTargetPart(
            technique=one.technique,
            needed=None,
            peak=None,
            chance=one.error.message if one.error else "",
            hangs_on="",
            drawing=None,
            remarks=(),
        )
    outcome = one.prediction.outcome
    return OnTargetPart(
        technique=one.technique,
        needed=frame.notation.entry(outcome.needed),
        peak=frame.notation.entry(outcome.peak),
        chance=chance_told(outcome),
        hangs_on=dominated_by(outcome),
        drawing=breaking_drawing(
            one.prediction, frame.notation, key=f"breaking-{key}", technique=one.technique
        ),
        remarks=remarks([flag.as_dict() for flag in one.prediction.flags if flag.code not in own]),
    )


def chance_told(outcome: Outcome) -> str:
    """Return the chance in words; of a stack with spacers for each count."""
    if not outcome.by_count:
        return chance_in_words(outcome.chance)
    counted = (
        f"{count}: {chance_in_words(chance)}" for count, chance in enumerate(outcome.by_count, start=1)
    )
    return f"at least so many of the stack, {'; '.join(counted)}"


def dominated_by(outcome: Outcome) -> str:
    """Return what the chance hangs on, greatest share first."""
    told = (f"{name} {100.0 * share:.0f}\u00a0%" for name, share in outcome.shares.items() if share >= _TOLD)
    return ", ".join(told)


def _facts(target: Target, frame: Frame) -> tuple[Fact, ...]:
    size, support = target.size, target.support
    lengths = (
        ("Thickness", size.thickness),
        ("Width", size.width),
        ("Length", size.length),
        ("Diameter", size.diameter),
        ("Span", support.span),
    )
    facts = [Fact("Target", target.name), Fact("Kind", f"{target.kind} of {target.material}")]
    if target.wood is not None:
        facts.append(Fact("Grain", f"span runs {target.wood.grain} it"))
    facts += [
        Fact(name, show_both(Quantity(length, "m"), frame.notation.first))
        for name, length in lengths
        if length is not None
    ]
    facts.append(Fact("Held", support.how))
    if target.stack.count > 1:
        facts.append(Fact("Stack", f"{target.stack.count}, {target.stack.between}"))
    return tuple(facts)
