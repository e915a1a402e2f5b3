"""Make a report: measure what the study holds and put it into words and drawings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime

from tameshi.pressure import Detail, contact_models, tissue_ratios
from tameshi.quantity import Measured
from tameshi.reference import table
from tameshi.report.budgets import budget_lines
from tameshi.report.carried import Carried, carry
from tameshi.report.comparison.section import comparison_part
from tameshi.report.contacts import contact_parts
from tameshi.report.content import Caution, Report, Summary
from tameshi.report.frame import Frame, frame_of
from tameshi.report.methods import methods_of
from tameshi.report.pairing import pairing_part
from tameshi.report.parts import ContactPart, Fact, Link, PrintPart, RecordingPart, Remark, TargetPart
from tameshi.report.prints import print_part
from tameshi.report.provenance import SOFTWARE, provenance_of
from tameshi.report.remarks import flags_met
from tameshi.report.strikes import recording_part
from tameshi.report.summary import counted, summary_of
from tameshi.report.targets import target_parts
from tameshi.report.techniques import Group, groups_of, side_by_side, technique_part
from tameshi.report.tolerance import tolerance_part
from tameshi.report.transfers import transfer_parts
from tameshi.study import (
    Joined,
    Measurement,
    Print,
    Recording,
    Study,
    break_targets,
    cautions_onto,
    companions_of,
    contacts_of,
    details_of,
    films,
    join_study,
    measure_all,
    originals,
    pairing_of,
    questions,
    rigs,
)
from tameshi.study.moment import refuse_without_zone
from tameshi.tolerance import Warned

Strikes = Sequence[tuple[Recording, Measurement]]
Areas = Sequence[tuple[Print, Measurement]]


def make_report(study: Study, *, at: datetime, progress: Callable[[str], None] | None = None) -> Report:
    """Measure a study, as far as that has not been done, and return what there is to say about it.

    Parameters
    ----------
    study : Study
    at : datetime
        When the report is made, with its time zone; it is shown in the report.
    progress : callable or None
        Told the name of each file when it has been measured.

    Returns
    -------
    Report
        The same for the same study and the same ``at``.

    Raises
    ------
    WrongUseError
        ``zone-missing``.
    StudyError
        Where the study itself is damaged. A file that cannot be measured is no error: it stands in
        its place with the reason.
    """
    refuse_without_zone(at)
    strikes, areas = measure_all(study, at=at, progress=progress)
    joined = join_study(strikes, areas)
    frame = frame_of(strikes, areas, joined, first=study.units, rigs=rigs(study))
    details = dict(zip(map(id, joined), details_of(strikes, areas, joined), strict=True))
    recordings = tuple(_recordings(strikes, joined, details, frame))
    prints = tuple(print_part(one, outcome, frame) for one, outcome in areas)
    bodies = [[outcome.body for _, outcome in pairs if outcome.error is None] for pairs in (strikes, areas)]
    contacts = contacts_of(strikes, areas)
    broken = target_parts(break_targets(study, strikes, at=at), frame)
    areas_by_technique = contact_parts(contacts, frame)
    groups = groups_of(strikes, areas, joined)
    carried = carry(study, strikes, groups, questions(study), at=at)
    transfers = transfer_parts(carried, frame)
    tolerance = tolerance_part(groups, carried)
    methods = methods_of(bodies[0], bodies[1], joined, contacts, broken, transfers)
    cited = tolerance.sources if tolerance else ()
    outcomes = [outcome for _, outcome in (*strikes, *areas)]
    return Report(
        title=study.name,
        at=at.astimezone(UTC),
        notation=frame.notation,
        facts=_facts(study, recordings, prints),
        summary=_summary(groups, frame, (recordings, prints)),
        cautions=_cautions(),
        recordings=recordings,
        prints=prints,
        contacts=areas_by_technique,
        models=contact_models(),
        on_tissue=tissue_ratios(),
        tolerance=tolerance,
        comparison=comparison_part(strikes, joined, frame.notation),
        pairing=pairing_part(pairing_of(strikes, areas, companions_of(films(study))), frame),
        targets=broken,
        target_cautions=_cautions("breaking_cautions") if broken else (),
        transfers=transfers,
        transfer_cautions=tuple(Caution(one.lead, one.words) for one in _cautions_of(carried)),
        flags=flags_met(
            (
                *_raised(recordings, prints, areas_by_technique, broken),
                *((remark, part.place) for part in transfers for remark in part.remarks),
            )
        ),
        methods=methods,
        budget_lines=budget_lines(_with_budgets(recordings, prints)),
        provenance=provenance_of(originals(study), outcomes, methods, cited),
    )


def _recordings(
    strikes: Strikes, joined: Sequence[Joined], details: Mapping[int, Detail | None], frame: Frame
) -> Iterable[RecordingPart]:
    for recording, outcome in strikes:
        own = {
            int(one.strike["index"]): (one, details[id(one)]) for one in joined if one.recording is recording
        }
        yield recording_part(recording, outcome, own, frame)


def _summary(
    groups: Sequence[Group],
    frame: Frame,
    parts: tuple[Sequence[RecordingPart], Sequence[PrintPart]],
) -> Summary:
    with_pad = len({group.pad for group in groups if group.forces}) > 1
    techniques = [technique_part(group, frame.notation, with_pad=with_pad) for group in groups]
    return summary_of(*parts, techniques, side_by_side(groups, techniques, frame.notation))


def _facts(
    study: Study, recordings: Sequence[RecordingPart], prints: Sequence[PrintPart]
) -> tuple[Fact, ...]:
    strikes = sum(len(one.strikes) for one in recordings)
    return (
        Fact("Study", study.name),
        Fact(
            "Holds",
            f"{counted(len(recordings), 'recording')} with {counted(strikes, 'strike')}, "
            f"{counted(len(prints), 'picture of a print', 'pictures of prints')}",
        ),
        Fact("Made with", SOFTWARE),
    )


def _cautions(name: str = "cautions") -> tuple[Caution, ...]:
    return tuple(Caution(row["lead"], row["text"]) for row in table(name).rows.values())


def _cautions_of(carried: Sequence[Carried]) -> tuple[Warned, ...]:
    return cautions_onto(one.question.part for one in carried) if carried else ()


def _raised(
    recordings: Sequence[RecordingPart],
    prints: Sequence[PrintPart],
    contacts: Sequence[ContactPart],
    broken: Sequence[TargetPart],
) -> Iterable[tuple[Remark, Link]]:
    for part in recordings:
        yield from ((remark, part.place) for remark in part.remarks)
        for strike in part.strikes:
            own = strike.remarks + (strike.pressure.remarks if strike.pressure else ())
            yield from ((remark, strike.place) for remark in own)
    for shown in prints:
        yield from ((remark, shown.place) for remark in shown.remarks)
    for contact in contacts:
        place = Link(contact.anchor, f"contact area of {contact.name}")
        own = contact.remarks + tuple(remark for law in contact.laws for remark in law.remarks)
        yield from ((remark, place) for remark in own)
    for target in broken:
        yield from ((remark, target.place) for remark in target.remarks)
        yield from ((remark, target.place) for one in target.techniques for remark in one.remarks)


def _with_budgets(recordings: Sequence[RecordingPart], prints: Sequence[PrintPart]) -> Iterable[Measured]:
    """Return the quantities whose budgets are drawn."""
    for part in recordings:
        for strike in part.strikes:
            yield strike.figure("Peak force").measured
            if strike.pressure:
                yield strike.pressure.mean.measured
    for shown in prints:
        yield from (named.entry.measured for named in shown.areas)
