"""The strikes of a study as trials: one figure of each, with who struck it, how and when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from tameshi.comparison import Trial
from tameshi.errors import WrongUseError
from tameshi.force import FIGURES
from tameshi.quantity import Quantity, from_record
from tameshi.study.describe import Recording
from tameshi.study.join import Joined
from tameshi.study.measure import Measurement

MEAN_PRESSURE = "mean_pressure"
COMPARED = (*FIGURES, MEAN_PRESSURE, "contact_area")
"""Figures that can be compared."""

BY = ("technique", "athlete", "session", "side", "pad")
"""What strikes can be put together by."""

_STRONGER = ("peak_force", "mean_force", "impulse", "impulse_to_peak", "loading_rate", MEAN_PRESSURE)
_UNNAMED = "not named"
_UNKNOWN_PAD = "not known"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trials:
    """The strikes of a study, put together.

    Parameters
    ----------
    figure, by : str
    groups : mapping of str to tuple of Trial
    apart : mapping of (str, str) to str
        Pairs of groups that may not be compared, with the reason.
    without : tuple of str
        Strikes that lack the figure, with the reason.
    notes : tuple of str
        What limits the comparison: athletes or sessions that are not named, tops that were cut off.
    families : mapping of str to str
        Technique and pad of each group: only groups of one family are set against each other, unless
        techniques are what is compared.
    techniques : mapping of str to tuple of Trial
        The same trials by technique and pad.
    """

    figure: str
    by: str
    groups: Mapping[str, tuple[Trial, ...]]
    apart: Mapping[tuple[str, str], str]
    without: tuple[str, ...]
    notes: tuple[str, ...]
    families: Mapping[str, str]
    techniques: Mapping[str, tuple[Trial, ...]]

    @property
    def greatest(self) -> str:
        """What the greatest value is called: best of forces, as people say it, and of nothing else."""
        return "best" if self.figure in _STRONGER else "greatest"


def trials_of(
    strikes: Sequence[tuple[Recording, Measurement]],
    joined: Sequence[Joined],
    *,
    figure: str = "peak_force",
    by: str = "technique",
) -> Trials:
    """Return the strikes of a study as trials in groups.

    Parameters
    ----------
    strikes
        As :func:`tameshi.study.measure_all` returns them.
    joined
        As :func:`tameshi.study.join_study` returns them.
    figure : str
        One of :data:`COMPARED`.
    by : str
        One of :data:`BY`.

    Returns
    -------
    Trials
        Strikes of different techniques are one group only where they are put together by something else
        within one technique: the name then holds both.

    Raises
    ------
    WrongUseError
        ``unknown-figure``, ``unknown-group``.
    """
    _require(figure, COMPARED, "unknown-figure", "figure")
    _require(by, BY, "unknown-group", "way to put strikes together")
    pads = {
        recording.original.sha256: outcome.body["recording"]["pad"] or _UNKNOWN_PAD
        for recording, outcome in strikes
        if outcome.error is None
    }
    several = len(set(pads.values())) > 1
    groups: dict[str, list[Trial]] = {}
    techniques: dict[str, list[Trial]] = {}
    families: dict[str, str] = {}
    padded: dict[str, set[str]] = {}
    without: list[str] = []
    cut_off = False
    for place, one in enumerate(joined):
        pad = pads[one.recording.original.sha256]
        label = f"{one.recording.original.name}:{one.strike['index']}"
        found, why = _figure(one, figure)
        if found is None:
            without.append(f"{label}: {why}")
            cut_off = cut_off or one.strike.get(figure, {}).get("at_least") is not None
            continue
        name = _name(one.recording, pad, by, several_pads=several)
        trial = _trial(one, found, label, place)
        padded.setdefault(name, set()).add(pad)
        groups.setdefault(name, []).append(trial)
        technique = _name(one.recording, pad, "technique", several_pads=several)
        techniques.setdefault(technique, []).append(trial)
        families[name] = _family(one.recording, technique, by)
    return Trials(
        figure=figure,
        by=by,
        groups={name: tuple(own) for name, own in groups.items()},
        apart=_apart(padded) if by != "pad" else {},
        without=tuple(without),
        notes=tuple(_notes(joined, figure, set(pads.values()), cut_off=cut_off)),
        families=families,
        techniques={name: tuple(own) for name, own in techniques.items()},
    )


def _family(recording: Recording, technique: str, by: str) -> str:
    """Return what groups have to share to be set against each other."""
    if by == "technique":
        return ""
    return technique if by != "pad" else recording.description.technique or ""


def _figure(one: Joined, figure: str) -> tuple[Quantity | None, str]:
    if figure in FIGURES:
        measured = from_record(one.strike[figure])
        return (measured, "") if isinstance(measured, Quantity) else (None, measured.why)
    if one.pressure is None:
        return None, one.why
    if figure == MEAN_PRESSURE:
        return one.pressure.mean_pressure, ""
    if not one.pressure.own_print:  # the same typical area again is no further trial
        return None, "it has no print of its own, and a typical area is no measurement of it"
    return one.pressure.area, ""


def _name(recording: Recording, pad: str, by: str, *, several_pads: bool) -> str:
    said = recording.description
    technique = said.technique or f"technique {_UNNAMED}"
    if by == "technique":
        return f"{technique}, pad {pad}" if several_pads else technique
    if by == "pad":
        return f"{technique}, pad {pad}"
    value = {"athlete": said.athlete, "session": said.session, "side": said.side}[by]
    named = f"{technique}, {value or f'{by} {_UNNAMED}'}"
    return f"{named}, pad {pad}" if several_pads else named


def _trial(one: Joined, value: Quantity, label: str, place: int) -> Trial:
    said, original = one.recording.description, one.recording.original
    # without a session's name each recording is taken for one: strikes of one file belong together
    return Trial(
        value=value,
        athlete=said.athlete or "",
        session=said.session or original.sha256,
        # recordings carry no common clock: they follow each other as they were added
        order=float(place),
        label=label,
        recording=original.sha256,
        at=float(one.strike["onset"]),
    )


def _apart(padded: Mapping[str, set[str]]) -> dict[tuple[str, str], str]:
    return {
        (one, other): f"they were struck on different pads ({_listed(padded[one] | padded[other])})"
        for one, other in combinations(padded, 2)
        if padded[one] != padded[other]
    }


def _notes(joined: Sequence[Joined], figure: str, pads: set[str], *, cut_off: bool) -> list[str]:
    notes = []
    taken = sum(one.pressure is not None and not one.pressure.own_print for one in joined)
    if figure == MEAN_PRESSURE and taken:
        notes.append(
            f"{taken} of {len(joined)} strikes have no print of their own: their area is typical of the "
            "technique, or that of its law."
        )
    if cut_off:
        notes.append("Strikes whose top was cut off are left out, the hardest perhaps: means may read low.")
    if _UNKNOWN_PAD in pads:
        notes.append("Strikes whose rig file says nothing of a pad are taken to be struck on one.")
    said = [one.recording.description for one in joined]
    if any(one.athlete is None for one in said):
        notes.append("Strikes without an athlete are taken to be of one and the same.")
    if any(one.session is None for one in said):
        notes.append("Recordings without a session are each taken for one.")
    return notes


def _require(value: str, known: Sequence[str], code: str, what: str) -> None:
    if value not in known:
        raise WrongUseError(code, f"There is no {what} {value!r}.", hint=f"There are: {_listed(known)}.")


def _listed(names: Sequence[str] | set[str]) -> str:
    return ", ".join(sorted(names) if isinstance(names, set) else names)
