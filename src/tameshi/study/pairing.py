"""Which strikes, prints, clips and athletes of a study belong together, and what stands alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from tameshi.study.describe import Print, Recording
from tameshi.study.measure import Measurement


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """A print or a clip, and which strike it is said to be of.

    Parameters
    ----------
    name : str
        Of its file.
    recording : str or None
        SHA-256 of the recording its strike is in; None where it names no strike.
    strike : int or None
    athlete, technique : str or None
        As said of itself.
    """

    name: str
    recording: str | None = None
    strike: int | None = None
    athlete: str | None = None
    technique: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PairedStrike:
    """A strike with what belongs to it.

    Parameters
    ----------
    recording : str
        Name of its file.
    sha256 : str
        Of that file.
    strike : int
    technique, athlete, session : str or None
    prints, clips : tuple of str
        Names of files, in the order they were added.
    """

    recording: str
    sha256: str
    strike: int
    technique: str | None
    athlete: str | None
    session: str | None
    prints: tuple[str, ...]
    clips: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """Something that stands alone, or belongs to what cannot be.

    Parameters
    ----------
    code : str
        ``"strike-without-print"``, ``"print-without-strike"``, ``"unknown-strike"``, ``"several-prints"``,
        ``"says-otherwise"``, ``"no-athlete"``, ``"no-session"``, ``"no-technique"``, and the same of clips.
    name : str
        Of the file.
    strikes : tuple of int
        Which of its strikes; empty where it is about the file as a whole.
    words : str
    """

    code: str
    name: str
    strikes: tuple[int, ...]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """What belongs together in a study.

    Parameters
    ----------
    strikes : tuple of PairedStrike
    alone : tuple of Alone
    """

    strikes: tuple[PairedStrike, ...]
    alone: tuple[Alone, ...]


def pairing_of(
    strikes: Sequence[tuple[Recording, Measurement]],
    areas: Sequence[tuple[Print, Measurement]],
    clips: Sequence[Companion] = (),
) -> Pairing:
    """Return which strikes, prints and clips belong together, and what stands alone.

    Parameters
    ----------
    strikes, areas
        As :func:`tameshi.study.measure_all` returns them.
    clips : sequence of Companion
        Strikes without a clip are listed only where a study has clips.
    """
    prints = [_companion(contact_print) for contact_print, _ in areas]
    found = {
        recording.original.sha256: [int(strike["index"]) for strike in outcome.body.get("strikes", ())]
        for recording, outcome in strikes
    }
    paired = tuple(
        PairedStrike(
            recording=recording.original.name,
            sha256=recording.original.sha256,
            strike=index,
            technique=recording.description.technique,
            athlete=recording.description.athlete,
            session=recording.description.session,
            prints=_of(prints, recording, index),
            clips=_of(clips, recording, index),
        )
        for recording, _ in strikes
        for index in found[recording.original.sha256]
    )
    recordings = {recording.original.sha256: recording for recording, _ in strikes}
    alone = [*_strikes_alone(paired, "print")]
    if clips:
        alone += _strikes_alone(paired, "clip")
    for kind, companions in (("print", prints), ("clip", clips)):
        alone += [one for companion in companions for one in _astray(companion, kind, recordings, found)]
    for recording, _ in strikes:
        alone += _unnamed(recording)
    return Pairing(strikes=paired, alone=tuple(alone))


def _companion(contact_print: Print) -> Companion:
    said = contact_print.description
    return Companion(
        name=contact_print.original.name,
        recording=said.recording,
        strike=said.strike,
        athlete=said.athlete,
        technique=said.technique,
    )


def _of(companions: Sequence[Companion], recording: Recording, index: int) -> tuple[str, ...]:
    sha256 = recording.original.sha256
    return tuple(one.name for one in companions if (one.recording, one.strike) == (sha256, index))


def _strikes_alone(paired: Sequence[PairedStrike], kind: str) -> Iterator[Alone]:
    """Return, recording by recording, the strikes without one of their own, and those with several."""
    for sha256 in dict.fromkeys(one.sha256 for one in paired):
        own = [one for one in paired if one.sha256 == sha256]
        name = own[0].recording
        without = tuple(one.strike for one in own if not (one.prints if kind == "print" else one.clips))
        if without:
            whose = "its" if len(without) == 1 else "their"
            words = f"{name}: {_listed(without)} without a {kind} of {whose} own."
            yield Alone(code=f"strike-without-{kind}", name=name, strikes=without, words=words)
        for one in own:
            several = one.prints if kind == "print" else one.clips
            if len(several) > 1:
                words = (
                    f"{name}: strike {one.strike} has {len(several)} {kind}s ({', '.join(several)}); the "
                    "last that could be measured counts."
                )
                yield Alone(code=f"several-{kind}s", name=name, strikes=(one.strike,), words=words)


def _listed(strikes: Sequence[int]) -> str:
    named = ", ".join(map(str, strikes))
    return f"strike {named} is" if len(strikes) == 1 else f"strikes {named} are"


def _astray(
    one: Companion, kind: str, recordings: Mapping[str, Recording], found: Mapping[str, Sequence[int]]
) -> Iterator[Alone]:
    if one.recording is None or one.strike is None:
        words = f"{one.name}: the {kind} names no strike; it stands for {one.technique or 'no technique'}."
        yield Alone(code=f"{kind}-without-strike", name=one.name, strikes=(), words=words)
        return
    recording = recordings.get(one.recording)
    if recording is None or one.strike not in found[one.recording]:
        where = recording.original.name if recording else "a recording that is not in the study"
        words = f"{one.name}: the {kind} is said to be of strike {one.strike} of {where}, which has none."
        yield Alone(code="unknown-strike", name=one.name, strikes=(one.strike,), words=words)
        return
    said = recording.description
    for what, mine, its in (
        ("athlete", one.athlete, said.athlete),
        ("technique", one.technique, said.technique),
    ):
        if mine and its and mine != its:
            where = recording.original.name
            words = f"{one.name}: the {kind} names {what} {mine}, and its recording {where} names {its}."
            yield Alone(code="says-otherwise", name=one.name, strikes=(one.strike,), words=words)


def _unnamed(recording: Recording) -> Iterator[Alone]:
    said, name = recording.description, recording.original.name
    for what in ("technique", "athlete", "session"):
        if getattr(said, what) is None:
            words = f"{name}: no {what} is named."
            yield Alone(code=f"no-{what}", name=name, strikes=(), words=words)
