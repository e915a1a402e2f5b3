from collections.abc import Iterator
from pathlib import Path

import pytest

from tameshi.study import Study, new_study


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "study"


@pytest.fixture
def study(folder: Path) -> Iterator[Study]:
    with new_study(folder, name="Spring") as made:
        yield made
