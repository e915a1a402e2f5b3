import json
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_target_sheet_is_a_pdf_with_four_markers(command, tmp_path, paper):
    path = tmp_path / "sheet.pdf"
    status, out, _ = command("target-sheet", "-o", path, "--paper", paper)
    assert status == 0
    assert str(path) in out
    page = pypdfium2.PdfDocument(path)[0]
    picture = np.asarray(page.render(scale=2.0).to_numpy())[:, :, :3]
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    _, ids, _ = detector.detectMarkers(np.ascontiguousarray(picture))
    assert sorted(ids.ravel().tolist()) == [0, 1, 2, 3]


def test_an_unknown_paper(command, tmp_path):
    assert command("target-sheet", "-o", tmp_path / "sheet.pdf", "--paper", "vellum")[0] == 2


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    from tameshi.cli import app
    from tameshi.cli.outcome import run

    folder = tmp_path_factory.mktemp("demo") / "demo"
    return run(app, ["demo", str(folder)]), folder


def test_demo_ends_with_a_report_beside_the_truth(built):
    status, folder = built
    assert status == 0
    assert (folder / "report" / "report.html").stat().st_size > 100_000
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    assert truth["invented"] is True
    assert len(truth["strikes"]) == 3


def test_demo_measures_what_is_true(built):
    from tameshi.demo.build import Built
    from tameshi.demo.compare import compare_demo
    from tests.study.samples import AT

    _, folder = built
    rows = compare_demo(Built(folder / "study", folder / "truth.json"), at=AT)
    # 17 strikes with five figures each, 15 prints, 17 pressures
    assert len(rows) == 17 * 5 + 15 + 17 + 3 * 2  # the last of three films: speed and mass
    held = sum(row.holds for row in rows)
    assert held >= 0.9 * len(rows)
    own = [row for row in rows if row.figure == "mean pressure, own print"]
    assert len(own) == 12
    assert all(abs(row.error) < 0.01 for row in own)


def test_the_demos_palm_heels_show_how_area_grows_with_force(built, result):
    from tameshi.demo.scenario import GROWTH

    found = result("pressure", built[1] / "study")["contacts"]
    (palm,) = [one for one in found if one["technique"] == "palm heel"]
    law = palm["against_force"][0]["law"]
    assert len(palm["against_force"][0]["pairs"]) == 6
    assert law["exponent"]["low"] < GROWTH < law["exponent"]["high"]


def test_demo_marks_its_data_as_invented(built):
    _, folder = built
    assert "nvented" in Path(folder / "study" / "study.toml").read_text(encoding="utf-8")
    assert "nvented" in (folder / "report" / "report.html").read_text(encoding="utf-8")


def test_demo_does_not_build_over_what_is_there(built, command):
    status, _, news = command("demo", built[1])
    assert status == 3
    assert "demo" in news


def test_help_lists_every_command(command):
    status, out, _ = command("--help")
    assert status == 0
    for name in (
        "strikes",
        "footprint",
        "pressure",
        "rig",
        "target-sheet",
        "study",
        "report",
        "demo",
        "breaking",
    ):
        assert name in out


def test_version(command):
    from tameshi import __version__

    assert command("--version")[1] == f"tameshi {__version__}\n"
