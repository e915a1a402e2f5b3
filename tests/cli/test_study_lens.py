"""A lens kept with a study serves its camera's other photos, and every result says so."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from tameshi.demo.photo import Camera
from tameshi.footprint import KnownLens, lens_text
from tameshi.study import open_study, prints, results
from tests.footprint.rulers import measured_with

FOCAL_IN_35_MM = 0xA405


def photo(distortion: float = -0.03, *, focal: int | None = 24, width: int = 1000) -> bytes:
    """Return a photo of a print beside a ruler, as a camera with a bent lens writes it."""
    camera = Camera(width=width, height=1200, fill=0.9, roll=4.0, distortion=distortion)
    exif = Image.Exif()
    if focal is not None:
        exif.get_ifd(0x8769)[FOCAL_IN_35_MM] = focal
    written = io.BytesIO()
    Image.fromarray(measured_with(camera=camera)).save(written, "JPEG", quality=95, exif=exif)
    return written.getvalue()


@pytest.fixture
def lens(tmp_path: Path) -> Path:
    path = tmp_path / "camera.toml"
    known = KnownLens(k=-0.03, u=0.0005, shape=1.2, focal=24.0 / 43.2666, said="sheet.jpg")
    path.write_text(lens_text(known), encoding="utf-8")
    return path


@pytest.fixture
def club(tmp_path: Path, command, lens: Path) -> Path:
    folder = tmp_path / "club"
    command("study", "new", folder)
    assert command("study", "add", folder, lens)[1].startswith("lens ")
    return folder


def lens_of(folder: Path) -> str | None:
    with open_study(folder, read_only=True) as study:
        (only,) = prints(study)
        return only.description.lens


def test_the_studys_lens_is_taken_for_photos_of_its_camera(result, club, tmp_path):
    (tmp_path / "ruler.jpg").write_bytes(photo())
    result("study", "add", club, tmp_path / "ruler.jpg", "--reference", "ruler:flat", "--technique", "palm")
    kept = lens_of(club)
    (shown,) = result("study", "show", club)["prints"]
    assert shown["result"]["lens"] == {"file": "camera.toml", "sha256": kept}
    alone = result(
        "footprint", tmp_path / "ruler.jpg", "--reference", "ruler:flat", "--lens", tmp_path / "camera.toml"
    )
    assert shown["result"]["contact_area"]["value"] == alone["contact_area"]["value"]
    with open_study(club, read_only=True) as study:
        (made,) = results(study, "footprint")
        assert made.recipe.inputs["lens"] == kept


@pytest.mark.parametrize(("focal", "width"), [(50, 1000), (None, 1000), (24, 1500)])
def test_other_cameras_and_pictures_that_do_not_say_get_none(result, club, tmp_path, focal, width):
    (tmp_path / "ruler.jpg").write_bytes(photo(focal=focal, width=width))
    result("study", "add", club, tmp_path / "ruler.jpg", "--reference", "ruler:flat")
    assert lens_of(club) is None


def test_a_lens_may_be_named_and_a_wrong_one_is_refused_where_it_is_used(result, tmp_path, lens):
    folder = tmp_path / "other"
    result("study", "new", folder)
    (tmp_path / "ruler.jpg").write_bytes(photo(focal=None))
    added = result(
        "study", "add", folder, tmp_path / "ruler.jpg", "--reference", "ruler:flat", "--lens", lens
    )
    assert [one["kind"] for one in added["added"]] == ["lens", "print"]
    assert lens_of(folder) is not None
    lens.write_text(lens.read_text(encoding="utf-8").replace("shape = 1.2", "shape = 1.5"), encoding="utf-8")
    result("study", "add", folder, tmp_path / "ruler.jpg", "--lens", lens.rename(tmp_path / "wide.toml"))
    (shown,) = result("study", "show", folder)["prints"]
    assert shown["error"]["code"] == "other-camera"


def test_what_is_no_lens_is_not_kept_as_one(result, club, tmp_path):
    (tmp_path / "bad.toml").write_text("[lens]\nk = 2\n", encoding="utf-8")
    assert result("study", "add", club, tmp_path / "bad.toml", status=3)["error"]["code"] == "lens-file"
