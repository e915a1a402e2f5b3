from collections.abc import Iterator

import pytest

from tameshi.report import Report, make_report, to_html
from tameshi.study import Study
from tests.report.club import AT, filled


@pytest.fixture(scope="session")
def study(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Study]:
    """Everything a report can meet, measured once."""
    with filled(tmp_path_factory.mktemp("report") / "study") as made:
        yield made


@pytest.fixture(scope="session")
def report(study: Study) -> Report:
    return make_report(study, at=AT)


@pytest.fixture(scope="session")
def page(report: Report) -> str:
    return to_html(report)
