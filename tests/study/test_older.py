"""Catalogues that an older tameshi made: columns that came later are added, what is there stays."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from tameshi.errors import StudyError
from tameshi.study import new_study, open_study, recordings, results
from tameshi.study.folder import CATALOGUE
from tameshi.study.schema import METADATA
from tests.study.samples import fill

# derived: columns that came after the first catalogues, none of which may be missing a value
LATER = (("recording", "speed"), ("contact_print", "points"), ("contact_print", "corrections"))


@pytest.fixture
def older(tmp_path: Path) -> Path:
    folder = tmp_path / "spring"
    with new_study(folder, name="Spring") as study:
        fill(study)
    connection = sqlite3.connect(folder / CATALOGUE)
    for table, column in LATER:
        connection.execute(f'ALTER TABLE "{table}" DROP COLUMN "{column}"')
    connection.commit()
    connection.close()
    return folder


def test_an_older_study_opens_with_the_columns_that_came_later(older: Path) -> None:
    with open_study(older) as study:
        (recording,) = recordings(study)
        assert recording.description.technique == "hammer fist"
        assert recording.description.speed is None
        assert [one.recipe.kind for one in results(study)] == ["strikes"]
    connection = sqlite3.connect(older / CATALOGUE)
    for table, column in LATER:
        names = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
        assert column in names
        assert set(names) == set(METADATA.tables[table].c.keys())
    connection.close()


def test_an_older_study_that_may_not_be_written_says_so(older: Path) -> None:
    with pytest.raises(StudyError) as caught, open_study(older, read_only=True):
        pass
    assert caught.value.code == "study-older"
    assert "'speed'" in caught.value.message or "'points'" in caught.value.message
