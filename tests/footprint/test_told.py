"""What could leave an area silently wrong is told or refused: marks, shadows, light, a wrong resolution."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, Finish, Light, Surface, camera_matrix
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.errors import UnmeasurableError
from tameshi.footprint import Corrections, Footprint, Picked, PickedPoint, measure_footprint
from tests.footprint.rulers import measured_with
from tests.footprint.scenes import MIDDLE, disc, plain_photo, scan_of

Pixels = NDArray[np.uint8]
TEXEL = 0.0254 / 200.0
STEADY = Camera(width=900, height=1200, tilt=5.0, fill=0.72)


def codes(found: Footprint) -> list[str]:
    return [flag.code for flag in found.flags]


def refused(picture: Pixels, **asked: object) -> UnmeasurableError:
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, **asked)  # type: ignore[arg-type]
    return caught.value


def with_mark(picture: Pixels, at: tuple[float, float], radius: float, *, left: float = 0.75) -> Pixels:
    """Return a scan with a pale disc, which leaves so much of the stored values."""
    rows, columns = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]]
    there = np.hypot((columns + 0.5) * TEXEL - at[0], (rows + 0.5) * TEXEL - at[1]) <= radius
    return np.where(there[:, :, None], left * picture, picture).astype(np.uint8)


PRINT = (0.045, 0.06, 0.012)


@pytest.mark.parametrize("away", [0.0045, 0.008])
def test_a_finger_mark_at_the_rim_is_set_aside_and_told(away):
    picture = with_mark(scan_of(PRINT), (0.12 - away, 0.06), 0.005)
    found = measure_footprint(picture, reference="scan:200")
    assert found.contact_area.value == pytest.approx(np.pi * PRINT[2] ** 2, rel=0.01)
    assert [one.kind for one in found.set_aside] == ["finger-mark"]
    assert "finger-mark" in codes(found)
    message = next(flag.message for flag in found.flags if flag.code == "finger-mark")
    assert '--take-in "11' in message


def test_a_finger_mark_may_be_taken_in_or_left_out_by_hand():
    picture = with_mark(scan_of(PRINT), (0.110, 0.06), 0.005)
    both = np.pi * (PRINT[2] ** 2 + 0.005**2)
    taken = measure_footprint(
        picture, reference="scan:200", corrections=Corrections(take_in=((0.110, 0.06),))
    )
    assert taken.contact_area.value == pytest.approx(both, rel=0.02)
    left = measure_footprint(
        picture, reference="scan:200", corrections=Corrections(leave_out=((0.110, 0.06),))
    )
    assert left.contact_area.value == pytest.approx(np.pi * PRINT[2] ** 2, rel=0.01)


@pytest.mark.parametrize(
    ("at", "left"), [((0.110, 0.06), 0.05), ((0.066, 0.06), 0.75)], ids=["as dark as the print", "beside it"]
)
def test_what_may_be_of_the_print_is_no_finger_mark(at, left):
    found = measure_footprint(with_mark(scan_of(PRINT), at, 0.005, left=left), reference="scan:200")
    assert "finger-mark" not in codes(found)


def test_ink_that_is_cut_off_beside_a_whole_print_is_named():
    picture = with_mark(scan_of(PRINT), (0.116, 0.06), 0.008, left=0.05)
    error = refused(picture, reference="scan:200")
    assert error.code == "print-cut-off"
    assert "other patch that lies wholly inside" in error.message
    assert '--leave-out "11' in error.hint


def around(*places: tuple[float, float]) -> Picked:
    lifted = np.column_stack([np.array(places), np.ones(len(places))]) @ camera_matrix("a4", STEADY).T
    seen = lifted[:, :2] / lifted[:, 2:]
    return Picked(
        points=tuple(
            PickedPoint((float(s[0]), float(s[1])), (float(p[0]), float(p[1])))
            for s, p in zip(seen, np.array(places), strict=True)
        )
    )


ZONE = ((0.04, 0.09), (0.14, 0.09), (0.14, 0.19), (0.04, 0.19))


def two(x: float, y: float, radius: float = 0.008) -> Pixels:
    """Return a photo of a print in the middle of the zone, and of another patch."""
    return plain_photo(ContactPrint("two", (Blob(*MIDDLE, 0.010), Blob(x, y, radius))), camera=STEADY)


def test_ink_beyond_the_zone_is_refused_where_it_may_be_of_the_print():
    error = refused(two(0.09, 0.188), reference=around(*ZONE[:2], (0.14, 0.175), (0.04, 0.175)))
    assert error.code == "print-cut-off"
    error = refused(
        two(0.125, 0.155, 0.006), reference=around((0.04, 0.09), (0.115, 0.09), (0.115, 0.19), (0.04, 0.19))
    )
    assert error.code == "print-cut-off"
    assert "beyond the edge of the rectangle around the picked points" in error.message
    assert "x = 125 mm, y = 155 mm" in error.message


def test_ink_beyond_the_zone_is_told_where_it_is_far():
    found = measure_footprint(two(0.09, 0.215), reference=around(*ZONE[:2], (0.14, 0.17), (0.04, 0.17)))
    assert "ink-beyond" in codes(found)
    assert found.contact_area.value == pytest.approx(np.pi * 0.010**2, rel=0.03)


def test_thin_lines_and_other_colours_beyond_the_zone_are_not_told():
    photo = plain_photo(disc(0.010), camera=STEADY)
    matrix = camera_matrix("a4", STEADY)
    x, y, z = matrix @ (0.09, 0.205, 1.0)
    at = (round(x / z), round(y / z))
    cv2.line(photo, (at[0] - 40, at[1]), (at[0] + 40, at[1]), (20, 20, 40), 2)
    cv2.circle(photo, (at[0], at[1] + 45), 18, (220, 120, 40), -1)
    found = measure_footprint(photo, reference=around(*ZONE))
    assert "ink-beyond" not in codes(found)


@pytest.mark.parametrize(("at", "shadow"), [(0.60, 0.30), (0.65, 0.45)])
def test_a_print_cut_by_a_shadow_beside_a_ruler_is_not_measured_in_part(at, shadow):
    blobs = (Blob(0.045, 0.075, 0.007), Blob(0.07, 0.10, 0.008), Blob(0.095, 0.125, 0.007))
    photo = measured_with(ContactPrint("three", blobs)).astype(float)
    down, across = np.mgrid[0 : photo.shape[0], 0 : photo.shape[1]]
    edge = at * photo.shape[0] + 0.1 * (across - 0.5 * photo.shape[1])
    share = cv2.GaussianBlur((down > edge).astype(np.float32), (0, 0), 1.5)
    shadowed = (photo * (1.0 - shadow * share)[:, :, None]).astype(np.uint8)
    error = refused(shadowed, reference="ruler:flat")
    assert error.code == "print-cut-off"
    assert "beyond the edge of the paper beside the ruler" in error.message


def bright(over: float, *, ink: tuple[float, float, float] = (0.04, 0.04, 0.045)) -> Pixels:
    """Return a photo with so many times too much light, on a table that is not black."""
    return plain_photo(
        disc(0.008),
        camera=STEADY,
        light=Light(level=over),
        surface=Surface(ink=ink, paper=(0.95, 0.95, 0.95), table=(0.07, 0.06, 0.06)),
        finish=Finish(blur=1.1, noise=0.004),
    )


def test_paper_far_too_bright_is_refused():
    assert refused(bright(9.0), reference="sheet:a4").code == "overexposed"


def test_paper_a_little_too_bright_is_measured():
    found = measure_footprint(bright(1.4), reference="sheet:a4")
    assert found.contact_area.value == pytest.approx(np.pi * 0.008**2, rel=0.07)
    assert found.contact_area.low < np.pi * 0.008**2 < found.contact_area.high


def test_a_print_that_fades_into_white_paper_is_refused():
    photo = plain_photo(disc(0.02), camera=STEADY, light=Light(level=1.5), finish=Finish(blur=0.8)).astype(
        float
    )
    matrix = camera_matrix("a4", STEADY)
    x, y, z = matrix @ (MIDDLE[0] + 0.016, MIDDLE[1], 1.0)
    down, across = np.mgrid[0 : photo.shape[0], 0 : photo.shape[1]]
    away = np.hypot(across - x / z, down - y / z)
    burnt = np.clip(photo + 600.0 * np.exp(-((away / 55.0) ** 4))[:, :, None], 0, 255).astype(np.uint8)
    error = refused(burnt, reference="sheet:a4")
    assert error.code == "glare"
    assert "fades into paper" in error.message


def squared_sheet(pitch: float) -> Pixels:
    """Return a photo from straight above of an A4 sheet with squares of some pitch, on a dark table."""
    scale = 0.23e-3
    across, down = (np.arange(round(side / scale)) * scale for side in (0.210, 0.297))
    near = [np.abs((way + 0.5 * pitch) % pitch - 0.5 * pitch) < 0.4e-3 for way in (across, down)]
    sheet = np.full((len(down), len(across), 3), 225, np.uint8)
    sheet[near[1][:, None] | near[0][None, :]] = (150, 170, 200)
    cv2.circle(sheet, (len(across) // 2, len(down) // 2), round(0.012 / scale), (30, 20, 60), -1)
    framed = cv2.copyMakeBorder(sheet, 90, 90, 90, 90, cv2.BORDER_CONSTANT, value=(60, 50, 45))
    return np.asarray(cv2.GaussianBlur(framed, (0, 0), 0.7), np.uint8)


def test_a_wrong_pitch_is_told_by_the_sheet_in_view():
    photo = squared_sheet(0.010)
    assert "pitch-doubtful" not in codes(measure_footprint(photo, reference="grid:10 mm"))
    found = measure_footprint(photo, reference="grid:5 mm")
    message = next(flag.message for flag in found.flags if flag.code == "pitch-doubtful")
    assert "if it is A4, the pitch is 2 times the stated one" in message


def a4_scan(dpi: float = 100.0) -> Pixels:
    """Return a scan of a whole A4 sheet on a grey lid, with a disc of 20 mm radius."""
    scale = 0.0254 / dpi
    picture = np.full((round(0.310 / scale), round(0.222 / scale), 3), 120, np.uint8)
    left, top = round(0.006 / scale), round(0.006 / scale)
    picture[top : top + round(0.297 / scale), left : left + round(0.210 / scale)] = 250
    cv2.circle(picture, (picture.shape[1] // 2, picture.shape[0] // 2), round(0.02 / scale), (20, 20, 60), -1)
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.6), np.uint8)


def test_a_wrong_resolution_is_told_by_the_sheet_in_the_scan():
    assert "resolution-doubtful" not in codes(measure_footprint(a4_scan(), reference="scan:100"))
    half = measure_footprint(a4_scan(), reference="scan:200")
    message = next(flag.message for flag in half.flags if flag.code == "resolution-doubtful")
    assert "if it is A4, it was scanned at about 99" in message
    assert refused(a4_scan(), reference="scan:150").code == "resolution-contradicted"


def test_a_resolution_that_the_file_contradicts_is_told():
    found = measure_footprint(scan_of(PRINT), reference="scan:400", dpi=200.0)
    assert "resolution-doubtful" in codes(found)
    assert "resolution-doubtful" not in codes(
        measure_footprint(scan_of(PRINT), reference="scan:200", dpi=200.0)
    )


def test_a_sheet_photographed_from_far_is_too_small_and_not_blurred():
    small = cv2.resize(plain_photo(camera=STEADY), (60, 80), interpolation=cv2.INTER_AREA)
    across = np.arange(1200)
    frame = np.tile((60.0 + 30.0 * np.sin(across / 40.0))[None, :, None], (900, 1, 3)).astype(np.uint8)
    frame[400:480, 500:560] = small
    error = refused(frame)
    assert error.code == "too-small"
    assert "440 pixels" in error.message
    assert refused(np.asarray(cv2.GaussianBlur(frame, (0, 0), 25.0))).code in ("too-blurred", "no-reference")


def test_wide_squares_on_rough_paper_are_found():
    down, across = np.mgrid[0:900, 0:1200].astype(np.float32)
    u, v = across + 0.035 * down, down - 0.035 * across
    nearest = np.minimum(*(np.abs((way + 32.0) % 64.0 - 32.0) for way in (u, v)))
    line = np.clip(1.75 - nearest, 0.0, 1.0)[:, :, None]
    photo = np.array((225.0, 225.0, 205.0)) - line * np.array((20.0, 80.0, 140.0))
    photo[np.hypot(across - 600.0, down - 450.0) < 109.0] = (60, 20, 80)
    rough = cv2.GaussianBlur(np.random.default_rng(2).normal(0.0, 1.0, down.shape), (0, 0), 2.0)
    photo = cv2.GaussianBlur(photo, (0, 0), 0.7) + (8.0 / rough.std() * rough)[:, :, None]
    found = measure_footprint(np.clip(photo, 0, 255).astype(np.uint8), reference="grid:5 mm")
    square = 0.005**2 / (64.0**2 / (1.0 + 0.035**2))
    assert found.contact_area.value == pytest.approx(np.pi * 109.0**2 * square, rel=0.02)
