"""Reading picture files."""

import contextlib
import io
import struct
import zlib

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps

from tameshi.errors import UnreadableError
from tameshi.readers.image import read_image

ORIENTATION = 0x0112


def drawn() -> Image.Image:
    picture = np.full((60, 40, 3), 240, np.uint8)
    picture[:20, :10] = (200, 10, 30)
    picture[45:, 25:] = (10, 60, 200)
    return Image.fromarray(picture)


def written(picture: Image.Image, form: str, **extra: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, form, **extra)
    return out.getvalue()


def refusal(data: bytes, **asked: int) -> UnreadableError:
    with pytest.raises(UnreadableError) as caught:
        read_image(data, **asked)
    assert caught.value.code == "unreadable-image"
    assert caught.value.exit_status == 3
    assert caught.value.hint.endswith(".")
    return caught.value


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_colours_come_as_red_green_blue(form):
    extra = {"lossless": True} if form == "WEBP" else {}
    photo = read_image(written(drawn(), form, **extra))
    assert photo.pixels.shape == (60, 40, 3)
    assert photo.form == form
    assert photo.pixels[5, 3].astype(int) == pytest.approx([200, 10, 30], abs=12)
    assert not photo.pixels.flags.writeable


@pytest.mark.parametrize(
    ("form", "mode"),
    [
        ("JPEG", "L"),
        ("JPEG", "CMYK"),
        ("PNG", "L"),
        ("PNG", "LA"),
        ("PNG", "RGBA"),
        ("PNG", "P"),
        ("PNG", "1"),
        ("TIFF", "CMYK"),
        ("TIFF", "L"),
        ("WEBP", "RGBA"),
    ],
)
def test_every_mode_becomes_three_channels_of_the_same_look(form, mode):
    converted = drawn().convert(mode)
    photo = read_image(written(converted, form))
    expected = np.asarray(converted.convert("RGB"), int)
    assert photo.pixels.shape == (60, 40, 3)
    assert np.abs(photo.pixels.astype(int) - expected).mean() < 6.0


def test_what_is_transparent_becomes_white_paper():
    clear = drawn().convert("RGBA")
    clear.putalpha(Image.new("L", clear.size, 0))
    assert (read_image(written(clear, "PNG")).pixels == 255).all()


def test_sixteen_bit_grey_keeps_its_bits():
    values = (np.arange(64 * 64, dtype=np.uint16) * 16).reshape(64, 64)
    photo = read_image(written(Image.fromarray(values), "PNG"))
    assert photo.pixels.dtype == np.uint16
    assert np.array_equal(photo.pixels[:, :, 1], values)


@pytest.mark.parametrize("ending", [".png", ".tif"])
def test_sixteen_bit_colour_is_read(ending):
    values = np.asarray(drawn(), np.uint16) * 257
    data = cv2.imencode(ending, values[:, :, ::-1])[1].tobytes()
    photo = read_image(data)
    assert photo.pixels[5, 3].astype(float) / np.iinfo(photo.pixels.dtype).max == pytest.approx(
        np.array([200, 10, 30]) / 255.0, abs=0.01
    )


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_pictures_are_turned_upright_as_an_independent_library_turns_them(form, orientation):
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    data = written(drawn(), form, exif=exif)
    expected = np.asarray(ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("RGB"), int)
    photo = read_image(data)
    assert photo.pixels.shape == expected.shape
    assert np.abs(photo.pixels.astype(int) - expected).max() < 16
    assert (photo.width, photo.height) == (40, 60)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF"])
def test_the_resolution_is_read_from_the_file(form):
    photo = read_image(written(drawn(), form, dpi=(300, 300)))
    assert photo.dpi == pytest.approx((300.0, 300.0), abs=0.01)


def test_a_file_without_resolution_has_none():
    assert read_image(written(drawn(), "PNG")).dpi is None


def test_a_turned_scan_has_its_resolutions_turned():
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    photo = read_image(written(drawn(), "JPEG", exif=exif, dpi=(150, 300)))
    assert photo.dpi == pytest.approx((300.0, 150.0))


def test_a_cameras_resolution_is_not_a_scanners():
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x829A] = 0.01  # exposure time
    photo = read_image(written(drawn(), "JPEG", exif=exif, dpi=(300, 300)))
    assert photo.is_camera
    assert photo.dpi is None


def test_an_empty_file_is_said_to_be_empty():
    assert refusal(b"").message == "The file is empty."


@pytest.mark.parametrize("data", [b"time,force\n0,1\n", b"\x00" * 500])
def test_what_is_no_picture_is_said_to_be_none(data):
    assert refusal(data).message == "The file is not a picture that is read here."


@pytest.mark.parametrize("share", [0.001, 0.1, 0.5, 0.9, 0.999])
@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_a_truncated_file_is_refused(form, share):
    noise = np.random.default_rng(1).integers(0, 255, (200, 200, 3), dtype=np.uint8)
    data = written(Image.fromarray(noise), form)
    refusal(data[: int(share * len(data))])


def test_a_preview_inside_a_truncated_jpeg_does_not_hide_the_damage():
    exif = Image.Exif()
    preview = written(drawn(), "JPEG")
    exif[0x010E] = preview.decode("latin-1")
    data = written(drawn().resize((400, 600)), "JPEG", exif=exif)
    assert read_image(data).pixels.shape == (600, 400, 3)
    assert "its end is missing" in refusal(data[:-200]).message


def test_a_picture_that_would_unfold_too_far_is_refused_before_it_is_decoded():
    header = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n"
    for kind, content in ((b"IHDR", header), (b"IDAT", zlib.compress(bytes(10_000))), (b"IEND", b"")):
        bomb += (
            struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
        )
    assert "at most 120 million are read" in refusal(bomb).message


def test_the_bound_on_pixels_can_be_set():
    assert "unfolds to 40 x 60 pixels" in refusal(written(drawn(), "PNG"), most_pixels=1000).message


@settings(max_examples=150, deadline=None)
@given(
    form=st.sampled_from(["JPEG", "PNG", "TIFF", "WEBP"]),
    hits=st.lists(st.tuples(st.floats(0.0, 0.999), st.integers(0, 255)), min_size=1, max_size=5),
    kept=st.floats(0.2, 1.0),
)
def test_damage_gives_a_picture_or_our_refusal_and_nothing_else(form, hits, kept):
    data = bytearray(written(drawn(), form))
    for place, value in hits:
        data[int(place * len(data))] = value
    with contextlib.suppress(UnreadableError):
        assert read_image(bytes(data[: int(kept * len(data))])).pixels.ndim == 3


def with_focal(entry: int) -> bytes:
    tags = Image.Exif()
    tags.get_ifd(0x8769)[0xA405] = entry
    return written(drawn(), "JPEG", exif=tags)


def test_a_cameras_focal_length_comes_as_a_share_of_the_diagonal():
    # 36 mm x 24 mm is a frame of 35 mm film: a lens of its diagonal sees as much as it is long
    assert read_image(with_focal(26)).focal == pytest.approx(26.0 / np.hypot(36.0, 24.0), rel=1e-3)
    assert read_image(written(drawn(), "JPEG")).focal is None


@pytest.mark.parametrize("entry", [0, 1, 60000])
def test_a_focal_length_that_no_lens_has_is_left_out(entry):
    assert read_image(with_focal(entry)).focal is None
