import cv2
import numpy as np
import pytest

from tameshi.demo.photo import Camera, as_png, camera_matrix
from tests.footprint.rulers import measured_with
from tests.footprint.scenes import MIDDLE, disc, drawn_sheet, rendered
from tests.footprint.squares import squares

DISC = np.pi * 0.02**2


def test_json_is_the_object_of_the_contract(result, files):
    found = result("footprint", files / "print.jpg")
    assert found["schema"] == "tameshi.footprint/1"
    assert set(found["image"]) == {"file", "sha256", "width", "height", "format", "bits", "profile"}
    assert (found["image"]["format"], found["image"]["bits"]) == ("JPEG", 8)
    assert set(found["reference"]) >= {"kind", "scale", "tilt_deg", "residual_px"}
    assert found["reference"]["kind"] == "target"
    assert found["contact_area"]["low"] < DISC < found["contact_area"]["high"]
    assert found["contact_area"]["unit"] == "m2"
    (patch,) = found["patches"]
    assert set(patch) >= {"index", "contact_area", "inked_area", "centroid"}
    assert patch["centroid"] == pytest.approx(list(MIDDLE), abs=0.002)


def test_a_measured_bar_scales_the_area(result, files):
    plain = result("footprint", files / "print.jpg")["contact_area"]["value"]
    scaled = result("footprint", files / "print.jpg", "--bar", "98 mm")["contact_area"]["value"]
    assert scaled == pytest.approx(0.98**2 * plain, rel=1e-6)


def test_overlay_is_a_picture(command, files, tmp_path):
    overlay = tmp_path / "overlay.png"
    status, _, news = command("footprint", files / "print.jpg", "--overlay", overlay)
    assert status == 0
    assert str(overlay) in news
    picture = cv2.imread(str(overlay))
    assert picture is not None
    assert max(picture.shape[:2]) > 600


def test_scan_by_its_own_resolution(result, tmp_path):
    page = np.full((600, 600, 3), 255, np.uint8)
    cv2.circle(page, (300, 300), 118, (30, 30, 30), -1)
    scan = tmp_path / "scan.png"
    scan.write_bytes(as_png(page, dpi=300))
    for reference in ("auto", "scan", "scan:300"):
        found = result("footprint", scan, "--reference", reference)
        assert found["reference"]["kind"] == "scan"
        true = np.pi * (118.5 / 300 * 0.0254) ** 2
        assert found["contact_area"]["value"] == pytest.approx(true, rel=0.02)


def test_a_person_sees_area_in_both_systems(command, files):
    _, out, _ = command("footprint", files / "print.jpg")
    assert "cm²" in out
    assert "in²" in out


def test_several_prints(result, files):
    found = result("footprint", files / "print.jpg", files / "blank.jpg", status=3)
    assert found["schema"] == "tameshi.footprints/1"
    assert found["footprints"][1]["error"]["code"] == "no-print"


@pytest.mark.parametrize(
    ("arguments", "status", "code"),
    [
        (["--reference", "magic"], 2, None),
        (["--reference", "grid:7 kN"], 2, "wrong-pitch"),
        (["--reference", "ruler:7 mm"], 2, "wrong-tick-pitch"),
        (["--reference", "grid:5 mm"], 3, "no-reference"),
        (["--reference", "ruler"], 3, "no-reference"),
        (["--bar", "99"], 2, "unit-missing"),
        (["--bar", "3 kN"], 2, "wrong-unit"),
        (["--paper", "vellum"], 2, None),
        (["--reference", "points"], 2, "too-few-points"),
        (["--point", "1,1=0 mm,0 mm"], 2, "too-few-points"),
        (["--point", "1,1=0,0 mm"], 2, "unit-missing"),
        (["--point", "one"], 2, "wrong-point"),
        (["--reference", "target", "--point", "1,1=0 mm,0 mm"], 2, "reference-unclear"),
        (["--point", "1,1=0 mm,0 mm", "--picked-within", "0"], 2, "wrong-point"),
        (["--point", "1,1=0 mm,0 mm", "--placed-within", "3"], 2, "unit-missing"),
    ],
)
def test_a_wrong_call(result, files, arguments, status, code):
    error = result("footprint", files / "print.jpg", *arguments, status=status)["error"]
    assert code is None or error["code"] == code
    assert error["hint"]


def test_squared_paper_and_a_ruler(result, tmp_path):
    for name, picture in (("grid:5mm", squares()), ("ruler", measured_with())):
        photo = tmp_path / "photo.png"
        photo.write_bytes(as_png(picture))
        found = result("footprint", photo, "--reference", name)
        assert found["reference"]["kind"] == name.partition(":")[0]
        assert found["contact_area"]["value"] == pytest.approx(np.pi * 0.012**2, rel=0.03)


def test_squared_paper_without_its_pitch_says_how_to_give_it(result, tmp_path):
    photo = tmp_path / "photo.png"
    photo.write_bytes(as_png(squares()))
    error = result("footprint", photo, status=3)["error"]
    assert error["code"] == "pitch-missing"
    assert "grid:5 mm" in error["hint"]


def test_one_overlay_cannot_show_two_prints(result, files, tmp_path):
    overlay = tmp_path / "overlay.png"
    found = result("footprint", files / "print.jpg", files / "print.jpg", "--overlay", overlay, status=2)
    assert found["error"]["code"] == "overlay-unclear"
    assert not overlay.exists()


def test_the_sheet_in_a_picture_without_perspective(result, tmp_path):
    flat = tmp_path / "flat.png"
    flat.write_bytes(as_png(drawn_sheet((*MIDDLE, 0.02))))
    found = result("footprint", flat, "--reference", "target")
    assert found["contact_area"]["value"] == pytest.approx(DISC, rel=0.01)


def test_a_plain_sheet_is_found_and_said(command, result, files):
    found = result("footprint", files / "plain.jpg")
    assert found["reference"]["kind"] == "sheet"
    assert found["contact_area"]["low"] < DISC < found["contact_area"]["high"]
    stated = result("footprint", files / "plain.jpg", "--reference", "sheet", "--paper", "a4")
    assert stated["contact_area"]["value"] == found["contact_area"]["value"]
    _, out, _ = command("footprint", files / "plain.jpg")
    assert "Plain sheet (a4, by its proportions)" in out


def test_a_plain_sheet_of_the_wrong_paper_is_refused(result, files):
    error = result("footprint", files / "plain.jpg", "--reference", "sheet", "--paper", "letter", status=3)
    assert error["error"]["code"] == "wrong-paper"


def picked(*places):
    """Options for points at places on the paper of the plain photo, in millimetres."""
    camera = Camera(width=900, height=1200, tilt=15.0, azimuth=30.0, roll=4.0, fill=0.72)
    options = []
    for x, y in places:
        lifted = camera_matrix("a4", camera) @ np.array([x / 1000.0, y / 1000.0, 1.0])
        column, row = lifted[:2] / lifted[2]
        options += ["--point", f"{column:.1f},{row:.1f}={x} mm,{y / 10.0} cm"]
    return options


def test_points_picked_by_hand(result, files):
    points = picked((20, 30), (190, 30), (190, 270), (20, 270))
    found = result("footprint", files / "plain.jpg", *points)
    assert found["reference"]["kind"] == "points"
    assert found["contact_area"]["value"] == pytest.approx(DISC, rel=0.015)
    rough = result("footprint", files / "plain.jpg", "--reference", "points", *points, "--picked-within", "8")
    finer = result("footprint", files / "plain.jpg", *points, "--placed-within", "0.1 mm")
    line = "reference points"
    assert (
        finer["contact_area"]["budget"][line]
        < found["contact_area"]["budget"][line]
        < rough["contact_area"]["budget"][line]
    )


def test_a_lens_is_kept_and_serves_the_cameras_other_photos(command, result, tmp_path):
    camera = Camera(width=1125, height=1500, fill=0.85, distortion=-0.03)
    photo, file = tmp_path / "sheet.png", tmp_path / "camera.toml"
    photo.write_bytes(as_png(rendered(disc(), camera=camera)))
    found = result("footprint", photo, "--keep-lens", file)
    assert "k = -0.03" in file.read_text(encoding="utf-8")
    assert 'from = "sheet.png, sha256 ' in file.read_text(encoding="utf-8")
    again = result("footprint", photo, "--lens", file)
    assert again["contact_area"]["value"] == pytest.approx(found["contact_area"]["value"], rel=0.003)
    assert "as it is known" in command("footprint", photo, "--lens", file)[1]
    error = result("footprint", photo, "--lens", file, "--keep-lens", tmp_path / "other.toml", status=3)
    assert error["error"]["code"] == "lens-not-seen"
    assert not (tmp_path / "other.toml").exists()


def test_a_lens_file_that_is_none_is_refused(result, files, tmp_path):
    for name, data in (("text.toml", b"k = 1"), ("bytes.toml", b"\xff\xfe\x00")):
        (tmp_path / name).write_bytes(data)
        error = result("footprint", files / "print.jpg", "--lens", tmp_path / name, status=3)
        assert error["error"]["code"] == "lens-file"
    error = result(
        "footprint", files / "print.jpg", files / "plain.jpg", "--keep-lens", tmp_path / "x", status=2
    )
    assert error["error"]["code"] == "lens-unclear"


def test_corrections_by_hand(result, tmp_path):
    page = np.full((945, 945, 3), 255, np.uint8)  # 80 mm
    for at, radius in (((300, 300), 177), ((650, 650), 118)):
        cv2.circle(page, at, radius, (30, 30, 30), -1)
    scan = tmp_path / "scan.png"
    scan.write_bytes(as_png(page, dpi=300))
    plain = result("footprint", scan)
    assert "corrections" not in plain
    large, small = (patch["contact_area"]["value"] for patch in plain["patches"])
    left = result("footprint", scan, "--leave-out", "25.4, 25.4")
    assert left["contact_area"]["value"] == pytest.approx(small, rel=1e-3)
    assert left["corrections"]["leave_out"] == [[pytest.approx(0.0254), pytest.approx(0.0254)]]
    assert "corrected-by-hand" in [flag["code"] for flag in left["flags"]]
    inside = result("footprint", scan, "--lasso", "5,5 50,5 50,38 38,50 5,50")
    assert inside["contact_area"]["value"] == pytest.approx(large, rel=1e-3)
    moved = result("footprint", scan, "--outline-at", "0.4", "--lasso", "5,5 45,5 5,45")
    assert moved["corrections"]["outline_at"] == 0.4
    assert len(moved["corrections"]["said"]) == 2


def test_ink_set_aside_is_taken_in_by_hand(result, tmp_path):
    page = np.full((700, 700, 3), 255, np.uint8)
    cv2.circle(page, (300, 300), 177, (30, 30, 30), -1)
    cv2.circle(page, (560, 560), 15, (30, 30, 30), -1)
    scan = tmp_path / "scan.png"
    scan.write_bytes(as_png(page, dpi=300))
    assert len(result("footprint", scan)["set_aside"]) == 1
    taken = result("footprint", scan, "--take-in", "47.4 mm, 47.4 mm")
    assert (len(taken["patches"]), taken["set_aside"]) == (2, [])


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["--leave-out", "here"], "wrong-place"),
        (["--take-in", "1;2;3"], "wrong-place"),
        (["--lasso", "1,1 2,2"], "wrong-lasso"),
        (["--lasso", "1,1 2,2 x 3,3"], "wrong-lasso"),
        (["--lasso", ""], "wrong-lasso"),
        (["--outline-at", "0.95"], "wrong-outline"),
        (["--leave-out", "5,5"], "no-patch-there"),
        (["--take-in", "90,140"], "no-ink-there"),
        (["--lasso", "40,60 50,60 50,70"], "lasso-empty"),
    ],
)
def test_corrections_that_fit_nothing(result, files, arguments, code):
    found = result("footprint", files / "print.jpg", *arguments, status=2)
    assert found["error"]["code"] == code
    assert found["error"]["hint"]


def test_places_by_hand_belong_to_one_picture(result, files):
    two = (files / "print.jpg", files / "plain.jpg")
    assert (
        result("footprint", *two, "--leave-out", "90,140", status=2)["error"]["code"] == "correction-unclear"
    )
    both = result("footprint", *two, "--outline-at", "0.45")["footprints"]
    assert [one["corrections"]["outline_at"] for one in both] == [0.45, 0.45]
