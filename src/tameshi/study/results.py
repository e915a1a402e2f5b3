"""Results: what was worked out from which originals, with which settings, by which version.

A result is kept under a key made of everything it depends on. The same work is never stored twice;
a new version of the software, or another setting, makes a new result and the old one stays.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, insert, select

from tameshi import __version__
from tameshi.errors import WrongUseError
from tameshi.files import sha256_of
from tameshi.study.canonical import canonical_json
from tameshi.study.catalogue import reading, writing
from tameshi.study.folder import Study, refuse_read_only
from tameshi.study.moment import refuse_without_zone
from tameshi.study.names import clean_file_name
from tameshi.study.originals import stored
from tameshi.study.schema import RESULT, RESULT_FILE, RESULT_INPUT, sound
from tameshi.study.vault import fetch, keep

NO_FILES: Mapping[str, bytes] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """Everything a result depends on.

    Parameters
    ----------
    kind : str
        ``strikes``, ``footprint``, ``pressure``, ...
    schema : str
        Name and version of the form of the body: ``tameshi.strikes/1``.
    inputs : mapping of str to str
        SHA-256 of each original by what it was to the work: ``recording``, ``print``, ``rig``, ...
    settings : mapping
        Everything else that can move a figure, as JSON holds it.
    software : str
        Version of tameshi.
    """

    kind: str
    schema: str
    inputs: Mapping[str, str]
    settings: Mapping[str, Any] = field(default_factory=dict)
    software: str = __version__

    @property
    def key(self) -> str:
        """SHA-256 of the recipe as canonical JSON: equal for equal work, whatever the order it is said in."""
        content = {
            "kind": self.kind,
            "schema": self.schema,
            "inputs": self.inputs,
            "settings": self.settings,
            "software": self.software,
        }
        return hash_of(content)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A result as it is kept.

    Parameters
    ----------
    key : str
        The recipe's key, its identity.
    recipe : Recipe
    made_at : datetime
        In UTC.
    body : mapping
        The result itself, as JSON holds it.
    body_sha256 : str
        What the body was when it was stored, to notice damage.
    files : mapping of str to str
        SHA-256 of each file made with it, by name.
    """

    key: str
    recipe: Recipe
    made_at: datetime
    body: Mapping[str, Any]
    body_sha256: str
    files: Mapping[str, str]


def store_result(
    study: Study,
    recipe: Recipe,
    body: Mapping[str, Any],
    *,
    at: datetime,
    files: Mapping[str, bytes] = NO_FILES,
) -> Result:
    """Keep a result; where the study has one of this recipe already, that one stays and is returned.

    Parameters
    ----------
    study : Study
    recipe : Recipe
        Its inputs are originals of the study.
    body : mapping
        As JSON holds it; nothing infinite.
    at : datetime
        When it was made, with its time zone.
    files : mapping of str to bytes
        Pictures and other files that go with it, by file name.

    Raises
    ------
    WrongUseError
        ``unknown-original``, ``not-json``, ``zone-missing``.
    StudyError
        ``read-only``, ``disk-full``, ``study-busy``, ``study-damaged``.
    """
    refuse_read_only(study)
    refuse_without_zone(at)
    canonical_json(body)  # refuses what cannot be kept before any file is written
    key = recipe.key
    made = {clean_file_name(name): data for name, data in files.items()}
    hashes = {name: sha256_of(data) for name, data in made.items()}
    known = find_result(study, recipe)
    if known is None:
        _refuse_unknown_inputs(study, recipe)
    for name, data in made.items():
        # of a known result only what may have been lost
        if known is None or known.files.get(name) == hashes[name]:
            keep(study.derived, data, name=name, sha256=hashes[name])
    with writing(study.catalogue) as connection:
        if not _loaded(connection, RESULT.c.key == key):
            _insert(connection, recipe, body, at=at, files=hashes)
        return _loaded(connection, RESULT.c.key == key)[0]


def find_result(study: Study, recipe: Recipe) -> Result | None:
    """Return the result of a recipe, None where it has not been made yet."""
    key = recipe.key
    with reading(study.catalogue) as connection:
        return next(iter(_loaded(connection, RESULT.c.key == key)), None)


def results(
    study: Study, kind: str | None = None, *, of: str | None = None, software: str | None = None
) -> tuple[Result, ...]:
    """Return results, oldest first.

    Parameters
    ----------
    study : Study
    kind : str or None
        Only of this kind.
    of : str or None
        Only those made from the original with this SHA-256.
    software : str or None
        Only those made by this version.
    """
    conditions = []
    if kind is not None:
        conditions.append(RESULT.c.kind == kind)
    if of is not None:
        conditions.append(RESULT.c.key.in_(select(RESULT_INPUT.c.result).where(RESULT_INPUT.c.sha256 == of)))
    if software is not None:
        conditions.append(RESULT.c.software == software)
    with reading(study.catalogue) as connection:
        return _loaded(connection, *conditions)


def read_result_file(study: Study, result: Result, name: str) -> bytes:
    """Return a file that was made with a result.

    Raises
    ------
    WrongUseError
        ``unknown-file``.
    StudyError
        ``derived-missing``, ``derived-changed``, ``derived-unreadable``: store the result again.
    """
    if name not in result.files:
        raise WrongUseError(
            "unknown-file",
            f"No file {name!r} was made with this {result.recipe.kind}.",
            hint=f"There are: {', '.join(sorted(result.files)) or 'none'}.",
        )
    return fetch(study.derived, name=name, sha256=result.files[name])


def hash_of(content: Mapping[str, Any]) -> str:
    """Return the SHA-256 of content as canonical JSON."""
    return sha256_of(canonical_json(content).encode())


def _refuse_unknown_inputs(study: Study, recipe: Recipe) -> None:
    with reading(study.catalogue) as connection:
        known = {sha256 for sha256 in recipe.inputs.values() if stored(connection, sha256)}
    for role, sha256 in recipe.inputs.items():
        if sha256 not in known:
            raise WrongUseError(
                "unknown-original",
                f"The {role} {sha256!r} is not an original of this study.",
                hint="Add the file first.",
            )


def _insert(
    connection: Connection, recipe: Recipe, body: Mapping[str, Any], *, at: datetime, files: Mapping[str, str]
) -> None:
    key = recipe.key
    row = {
        "key": key,
        "kind": recipe.kind,
        "schema": recipe.schema,
        "software": recipe.software,
        "settings": recipe.settings,
        "made_at": at,
        "body": body,
        "body_sha256": hash_of(body),
    }
    connection.execute(insert(RESULT).values(row))
    for role, sha256 in recipe.inputs.items():
        connection.execute(insert(RESULT_INPUT).values(result=key, role=role, sha256=sha256))
    for name, sha256 in files.items():
        connection.execute(insert(RESULT_FILE).values(result=key, name=name, sha256=sha256))


def _loaded(connection: Connection, *conditions: ColumnElement[bool]) -> tuple[Result, ...]:
    """Return the results that meet the conditions, oldest first."""
    keys = select(RESULT.c.key).where(*conditions)
    inputs, files = defaultdict[str, dict[str, str]](dict), defaultdict[str, dict[str, str]](dict)
    for link in _rows(connection, RESULT_INPUT, RESULT_INPUT.c.result.in_(keys)):
        inputs[link["result"]][link["role"]] = link["sha256"]
    for link in _rows(connection, RESULT_FILE, RESULT_FILE.c.result.in_(keys)):
        files[link["result"]][link["name"]] = link["sha256"]
    rows = _rows(connection, RESULT, *conditions)
    rows.sort(key=lambda row: (row["made_at"], row["kind"], row["key"]))
    return tuple(_result(row, inputs[row["key"]], files[row["key"]]) for row in rows)


def _rows(connection: Connection, table: Table, *conditions: ColumnElement[bool]) -> list[dict[str, Any]]:
    asked = select(table).where(*conditions)
    return [sound(row, table) for row in connection.execute(asked).mappings()]


def _result(row: Mapping[str, Any], inputs: Mapping[str, str], files: Mapping[str, str]) -> Result:
    recipe = Recipe(
        kind=row["kind"],
        schema=row["schema"],
        inputs=inputs,
        settings=row["settings"],
        software=row["software"],
    )
    return Result(
        key=row["key"],
        recipe=recipe,
        made_at=row["made_at"],
        body=row["body"],
        body_sha256=row["body_sha256"],
        files=files,
    )
