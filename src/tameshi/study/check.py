"""Is everything still there, and as it was? A check looks, says, and repairs nothing.

Every original and every derived file is hashed again and compared with the catalogue; the
catalogue is asked about its own pages and references; every result is compared with the hash of
its recipe and of its body. If the catalogue cannot be read, the originals still can be checked:
each one's name is its hash.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeVar

from tameshi.errors import StudyError
from tameshi.files import files_under, is_leftover
from tameshi.study.catalogue import integrity
from tameshi.study.folder import CATALOGUE, Study
from tameshi.study.originals import Original, originals
from tameshi.study.results import Result, hash_of, results
from tameshi.study.vault import REMEDY, State, Vault, not_as_kept, state

Records = TypeVar("Records")
Progress = Callable[[int, int], None]
"""Told after each file: how many are done, of how many."""

Severity = Literal["broken", "harmless"]

DIGITS = 64
"""Of a SHA-256 in hexadecimal."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a check found.

    Parameters
    ----------
    code : str
        ``original-changed``, ``original-missing``, ``original-unreadable``, the same of
        ``derived``, ``stray-file``, ``catalogue-damaged``, ``result-orphaned``, ``result-damaged``.
    subject : str
        SHA-256 of the original or file, key of the result, path of the stray file.
    message : str
        What is wrong, in a sentence.
    hint : str
        What to do about it.
    severity : "broken" or "harmless"
    """

    code: str
    subject: str
    message: str
    hint: str
    severity: Severity = "broken"


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What a check looked at and found.

    Parameters
    ----------
    original_count, result_count : int
        How many the catalogue lists.
    findings : tuple of Finding
        Empty where all is as it was.
    """

    original_count: int
    result_count: int
    findings: tuple[Finding, ...]

    @property
    def is_sound(self) -> bool:
        """Whether nothing but harmless leftovers was found."""
        return all(finding.severity == "harmless" for finding in self.findings)

    def of(self, code: str) -> tuple[Finding, ...]:
        """Return the findings with this code."""
        return tuple(finding for finding in self.findings if finding.code == code)


def check(study: Study, *, progress: Progress | None = None) -> CheckReport:
    """Compare everything the study holds with what it should hold.

    Parameters
    ----------
    study : Study
    progress : callable or None
        Told after each file how many are done, of how many.

    Returns
    -------
    CheckReport
        Nothing is repaired.
    """
    # files first, then rows: what is added meanwhile has a row without a listed file, and is looked for
    listed = [path for path in files_under(study.folder) if _is_ours(study, path)]
    damage = [_damage(found) for found in integrity(study.catalogue)]
    # results before originals: originals are never taken away, so every input is among them
    made = _readable(results, study, damage)
    known = _readable(originals, study, damage)
    wanted = _wanted(study, known or (), made or ())
    if known is None:
        wanted |= _named_after_themselves(study, listed)
    states: dict[Path, State] = {}
    for path, (_, sha256) in wanted.items():
        states[path] = state(path, sha256)
        if progress:
            progress(len(states), len(wanted))
    lost = {sha256 for path, (_, sha256) in wanted.items() if states[path] != "sound"}
    held = {original.sha256 for original in known or ()} - lost
    findings = (
        *damage,
        *(_not_as_kept(*wanted[path], path, found) for path, found in states.items() if found != "sound"),
        *(_stray(study, path) for path in listed if path not in wanted),
        *(_results_in_doubt(made, held) if made and known is not None else ()),
    )
    return CheckReport(len(known or ()), len(made or ()), findings)


def _is_ours(study: Study, path: Path) -> bool:
    """Whether a file in the study's folder is where only the study puts files."""
    return is_leftover(path) or any(
        path.is_relative_to(vault.root) for vault in (study.originals, study.derived)
    )


def _readable(read: Callable[[Study], Records], study: Study, damage: list[Finding]) -> Records | None:
    """Return what the catalogue lists; where it cannot be read, add that to the damage."""
    try:
        return read(study)
    except StudyError as error:
        damage.append(_damage(error.message))
        return None


def _wanted(
    study: Study, known: tuple[Original, ...], made: tuple[Result, ...]
) -> dict[Path, tuple[Vault, str]]:
    """Return what should stand where, as the catalogue has it."""
    kept = [(study.originals, original.name, original.sha256) for original in known]
    kept += [(study.derived, name, sha256) for result in made for name, sha256 in result.files.items()]
    return {vault.place(sha256, name): (vault, sha256) for vault, name, sha256 in kept}


def _named_after_themselves(study: Study, listed: list[Path]) -> dict[Path, tuple[Vault, str]]:
    """Return what the names of the originals say, where the catalogue says nothing."""
    named = [
        path for path in listed if path.is_relative_to(study.originals.root) and len(path.stem) == DIGITS
    ]
    return {path: (study.originals, path.stem) for path in named}


def _results_in_doubt(made: tuple[Result, ...], held: set[str]) -> Iterator[Finding]:
    for result in made:
        about = f"A result of kind {result.recipe.kind!r} ({result.key[:12]})"
        if result.recipe.key != result.key or hash_of(result.body) != result.body_sha256:
            yield Finding(
                "result-damaged",
                result.key,
                f"{about} is not what was stored.",
                "Put the catalogue back from a copy.",
            )
        gone = [role for role, sha256 in sorted(result.recipe.inputs.items()) if sha256 not in held]
        if gone:
            yield Finding(
                "result-orphaned",
                result.key,
                f"{about} was made from originals that are gone or changed: {', '.join(gone)}.",
                REMEDY["original"],
            )


def _not_as_kept(vault: Vault, sha256: str, path: Path, found: State) -> Finding:
    error = not_as_kept(vault, found, path)
    return Finding(error.code, sha256, error.message, error.hint)


def _stray(study: Study, path: Path) -> Finding:
    where = path.relative_to(study.folder).as_posix()
    return Finding(
        "stray-file",
        where,
        f"{where!r} belongs to nothing in the catalogue: an interrupted addition may have left it.",
        "Add the file again if it is wanted, or delete it.",
        "harmless",
    )


def _damage(reason: str) -> Finding:
    return Finding(
        "catalogue-damaged", CATALOGUE, f"The catalogue is damaged: {reason}", "Put it back from a copy."
    )
