"""Every form a picture comes in gives the same print; odd ones are told or refused, never read wrongly."""

from __future__ import annotations

import contextlib
import io
import struct
from typing import Any

import cv2
import numpy as np
import pillow_heif
import pytest
import tifffile
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageCms

from tameshi.demo.photo import render_scan
from tameshi.demo.prints import ContactPrint, Ridges, wobbly_blob
from tameshi.errors import UnreadableError
from tameshi.footprint import Box, measure_footprint
from tameshi.readers.image import Photo, read_image
from tests.readers.test_image import drawn, refusal, written

DPI = 250.0
AREA = 9e-4


@pytest.fixture(scope="module")
def scan() -> NDArray[np.uint8]:
    """A scanned print whose area is known."""
    generator = np.random.default_rng(11)
    contact = ContactPrint("palm heel", (wobbly_blob(generator, 0.0, 0.0, AREA),), ridges=Ridges())
    page = Box(-0.035, -0.03, 0.035, 0.03)
    return np.asarray(render_scan(contact, page, DPI, generator), np.uint8)


def area_of(photo: Photo) -> float:
    return measure_footprint(photo.pixels, reference=f"scan:{DPI:.0f}", key="k").contact_area.value


def tiff(values: NDArray[np.generic], photometric: str = "rgb", **said: Any) -> bytes:
    out = io.BytesIO()
    tifffile.imwrite(out, values, photometric=photometric, **said)
    return out.getvalue()


def heic(picture: Image.Image, **said: object) -> bytes:
    out = io.BytesIO()
    pillow_heif.from_pillow(picture).save(out, **{"quality": 95, **said})
    return out.getvalue()


def deep(values: NDArray[np.uint8]) -> NDArray[np.uint16]:
    """Sixteen bits, the lower eight not those of a mere copy."""
    return values.astype(np.uint16) * 257


def png16(values: NDArray[np.uint16]) -> bytes:
    return cv2.imencode(".png", values[:, :, ::-1])[1].tobytes()


def grey(values: NDArray[np.uint8]) -> NDArray[np.uint8]:
    return np.asarray(Image.fromarray(values).convert("L"), np.uint8)


def heic_deep(values: NDArray[np.uint8]) -> bytes:
    stored = pillow_heif.from_bytes("RGB;16", values.shape[1::-1], deep(values).tobytes())
    out = io.BytesIO()
    stored.save(out, quality=95)
    return out.getvalue()


def test_the_scan_itself_is_right(scan):
    assert measure_footprint(scan, reference=f"scan:{DPI:.0f}").contact_area.value == pytest.approx(
        AREA, rel=0.01
    )


@pytest.mark.parametrize(
    ("name", "write"),
    [
        ("PNG", lambda s: written(Image.fromarray(s), "PNG")),
        ("TIFF", lambda s: written(Image.fromarray(s), "TIFF")),
        ("TIFF, LZW", lambda s: written(Image.fromarray(s), "TIFF", compression="tiff_lzw")),
        ("TIFF, deflate", lambda s: written(Image.fromarray(s), "TIFF", compression="tiff_deflate")),
        ("TIFF, big-endian", lambda s: tiff(s, byteorder=">")),
        ("TIFF, tiled", lambda s: tiff(s, tile=(64, 64))),
        ("TIFF, planes", lambda s: tiff(np.moveaxis(s, 2, 0).copy(), planarconfig="separate")),
        ("TIFF, BigTIFF", lambda s: tiff(s, bigtiff=True)),
        ("WebP, lossless", lambda s: written(Image.fromarray(s), "WEBP", lossless=True)),
        ("PNG, opaque", lambda s: written(Image.fromarray(s).convert("RGBA"), "PNG")),
        ("PNG, 16 bits", lambda s: png16(deep(s))),
        ("TIFF, 16 bits", lambda s: tiff(deep(s))),
        ("TIFF, 16 bits, big-endian", lambda s: tiff(deep(s), byteorder=">")),
        ("TIFF, 16 bits, tiled", lambda s: tiff(deep(s), tile=(64, 64))),
        ("TIFF, 16 bits, deflate", lambda s: tiff(deep(s), compression="zlib", predictor=True)),
        ("CMYK TIFF", lambda s: written(Image.fromarray(s).convert("CMYK"), "TIFF")),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_forms_without_loss_give_exactly_the_same_area(scan, name, write):
    known = area_of(read_image(written(Image.fromarray(scan), "PNG")))
    assert area_of(read_image(write(scan))) == pytest.approx(known, rel=1e-6), name


@pytest.mark.parametrize(
    ("name", "write"),
    [
        ("JPEG", lambda s: written(Image.fromarray(s), "JPEG", quality=92)),
        ("JPEG, progressive", lambda s: written(Image.fromarray(s), "JPEG", quality=92, progressive=True)),
        ("JPEG, grey", lambda s: written(Image.fromarray(s).convert("L"), "JPEG", quality=92)),
        ("CMYK JPEG", lambda s: written(Image.fromarray(s).convert("CMYK"), "JPEG", quality=92)),
        ("WebP", lambda s: written(Image.fromarray(s), "WEBP", quality=92)),
        ("HEIC", lambda s: heic(Image.fromarray(s))),
        ("HEIC, 10 bits", heic_deep),
        ("HEIC, grey", lambda s: heic(Image.fromarray(s).convert("L"))),
        ("PNG, palette", lambda s: written(Image.fromarray(s).quantize(256), "PNG")),
        ("PNG, grey", lambda s: written(Image.fromarray(s).convert("L"), "PNG")),
        ("PNG, grey with opacity", lambda s: written(Image.fromarray(s).convert("LA"), "PNG")),
        ("PNG, 16 bits grey", lambda s: written(Image.fromarray(deep(grey(s))), "PNG")),
        ("TIFF, 16 bits grey", lambda s: tiff(deep(grey(s)), "minisblack")),
        ("TIFF, 16 bits, white is nought", lambda s: tiff(65535 - deep(grey(s)), "miniswhite")),
        ("TIFF, white is nought", lambda s: tiff(255 - grey(s), "miniswhite")),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_all_other_forms_agree_within_half_a_per_cent(scan, name, write):
    known = area_of(read_image(written(Image.fromarray(scan), "PNG")))
    assert area_of(read_image(write(scan))) == pytest.approx(known, rel=0.005), name


@pytest.mark.parametrize("form", ["TIFF", "PNG"])
def test_black_and_white_alone_is_measured_and_flagged(form):
    generator = np.random.default_rng(12)
    contact = ContactPrint("palm heel", (wobbly_blob(generator, 0.0, 0.0, AREA),))
    page = Box(-0.035, -0.03, 0.035, 0.03)
    scanned = np.asarray(render_scan(contact, page, DPI, generator), np.uint8)
    photo = read_image(written(Image.fromarray(grey(scanned) > 128), form))
    assert photo.bits == 1
    assert [flag.code for flag in photo.flags] == ["one-bit"]
    assert area_of(photo) == pytest.approx(AREA, rel=0.015)


@pytest.mark.parametrize(
    "write", [png16, tiff, lambda v: tiff(v, byteorder=">"), lambda v: tiff(v, tile=(16, 16))]
)
def test_sixteen_bits_of_colour_are_all_read(write):
    values = np.random.default_rng(2).integers(0, 65536, (48, 64, 3), dtype=np.uint16)
    photo = read_image(write(values))
    assert photo.bits == 16
    assert photo.pixels.dtype == np.uint16
    assert np.array_equal(photo.pixels, values)


def test_sixteen_bits_of_colour_with_opacity_lie_on_white():
    values = np.zeros((8, 8, 4), np.uint16)
    values[:, :, 1] = 1000
    values[:4, :, 3] = 65535
    data = cv2.imencode(".png", values[:, :, [2, 1, 0, 3]])[1].tobytes()
    photo = read_image(data)
    assert photo.pixels[0, 0].tolist() == [0, 1000, 0]
    assert photo.pixels[7, 0].tolist() == [65535, 65535, 65535]


def test_white_is_nought_is_turned_around():
    values = np.array([[0, 1000], [30000, 65535]], np.uint16).repeat(8, 0).repeat(8, 1)
    photo = read_image(tiff(values, "miniswhite"))
    assert photo.pixels[0, 0, 0] == 65535
    assert photo.pixels[-1, -1, 0] == 0


def test_values_of_twelve_bits_fill_the_range():
    # two values of twelve bits are three bytes
    row = bytes([0xFF, 0xFF, 0xFF]) * 8
    tags = [
        (256, 16),
        (257, 4),
        (258, 12),
        (259, 1),
        (262, 1),
        (273, 200),
        (277, 1),
        (278, 4),
        (279, 4 * len(row)),
    ]
    head = b"II*\0" + struct.pack("<I", 8) + struct.pack("<H", len(tags))
    head += b"".join(
        struct.pack("<HHII", tag, 4 if tag in (273, 279) else 3, 1, value) for tag, value in tags
    )
    data = (head + struct.pack("<I", 0)).ljust(200, b"\0") + 4 * row
    photo = read_image(data)
    assert photo.bits == 12
    assert photo.pixels.min() == 65535


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (tiff(np.full((9, 9), 7, np.uint32), "minisblack"), "32 bits"),
        (tiff(np.full((9, 9), 0.5, np.float32), "minisblack"), "fractions"),
        (tiff(np.full((3, 9, 9), 999, np.uint16), planarconfig="separate"), "separate planes"),
        (tiff(np.full((9, 9, 3), 99, np.uint8), "cielab"), "L*a*b*"),
        (
            tiff(np.full((9, 9, 3), 99, np.uint8), extratags=[(0xC612, 1, 4, b"\1\4\0\0", True)]),
            "raw picture",
        ),
    ],
)
def test_odd_forms_are_refused_by_name(data, words):
    assert words in refusal(data).message


@pytest.mark.parametrize(
    ("start", "words"),
    [
        (b"GIF89a", "GIF"),
        (b"BM6\0", "BMP"),
        (b"%PDF-1.7\n", "PDF"),
        (b"\x00\x00\x00\x1cftypavif", "AVIF"),
        (b"\x00\x00\x00\x18ftypisom", "film"),
        (b"\x00\x00\x00\x0cjP  \r\n\x87\n", "JPEG 2000"),
        (b"\xff\x0a", "JPEG XL"),
        (b"PK\x03\x04", "archive"),
    ],
)
def test_other_files_are_told_by_their_content(start, words):
    error = refusal(start + b"\0" * 100)
    assert words in error.message
    assert error.hint


def test_heic_comes_upright_with_its_colours():
    exif = Image.Exif()
    exif[0x0112] = 6
    photo = read_image(heic(drawn(), exif=exif.tobytes()))
    assert photo.form == "HEIC"
    assert photo.pixels.shape == (40, 60, 3)
    # what was top left is top right after a quarter turn
    assert photo.pixels[3, 55].astype(int) == pytest.approx([200, 10, 30], abs=14)


def test_heic_of_ten_bits_keeps_them():
    values = np.full((64, 64, 3), 257 * 100, np.uint16)
    values[:, 32:] += 200
    stored = pillow_heif.from_bytes("RGB;16", (64, 64), values.tobytes())
    out = io.BytesIO()
    stored.save(out, quality=-1)
    photo = read_image(out.getvalue())
    assert photo.bits > 8
    assert photo.pixels.dtype == np.uint16
    step = photo.pixels[:, 40:].astype(int).mean() - photo.pixels[:, :24].astype(int).mean()
    assert step == pytest.approx(200.0, abs=40.0)


def test_a_phones_heic_gives_its_focal_length_and_no_resolution():
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = 26
    exif.get_ifd(0x8769)[0x829A] = 0.01
    exif[0x011A] = exif[0x011B] = 72.0
    photo = read_image(heic(drawn(), exif=exif.tobytes()))
    assert photo.is_camera
    assert photo.dpi is None
    assert photo.focal == pytest.approx(26.0 / np.hypot(36.0, 24.0), rel=1e-3)


@pytest.mark.parametrize("share", [0.02, 0.1, 0.5, 0.9, 0.99])
def test_a_truncated_heic_is_refused(share):
    noise = np.random.default_rng(1).integers(0, 255, (200, 200, 3), dtype=np.uint8)
    data = heic(Image.fromarray(noise))
    refusal(data[: int(share * len(data))])


def test_a_heic_that_would_unfold_too_far_is_refused():
    assert "unfolds to 40 x 60 pixels" in refusal(heic(drawn()), most_pixels=1000).message


@settings(max_examples=120, deadline=None)
@given(
    hits=st.lists(st.tuples(st.floats(0.0, 0.999), st.integers(0, 255)), min_size=1, max_size=5),
    kept=st.floats(0.2, 1.0),
)
def test_a_damaged_heic_gives_a_picture_or_our_refusal(hits, kept):
    data = bytearray(heic(drawn()))
    for place, value in hits:
        data[int(place * len(data))] = value
    with contextlib.suppress(UnreadableError):
        assert read_image(bytes(data[: int(kept * len(data))])).pixels.ndim == 3


def test_of_several_pages_the_first_is_read_and_told():
    out = io.BytesIO()
    drawn().save(out, "TIFF", save_all=True, append_images=[drawn().rotate(180), drawn()])
    photo = read_image(out.getvalue())
    assert photo.pixels[5, 3].tolist() == [200, 10, 30]
    (flag,) = photo.flags
    assert (flag.code, "3 pages" in flag.message) == ("several-pictures", True)


def test_smaller_copies_in_a_tiff_are_no_pages():
    out = io.BytesIO()
    with tifffile.TiffWriter(out) as writer:
        writer.write(np.asarray(drawn()), photometric="rgb")
        writer.write(np.asarray(drawn().resize((20, 30))), photometric="rgb", subfiletype=1)
    assert read_image(out.getvalue()).flags == ()


@pytest.mark.parametrize("form", ["WEBP", "PNG"])
def test_of_an_animation_the_first_frame_is_read_and_told(form):
    out = io.BytesIO()
    drawn().save(out, form, save_all=True, append_images=[drawn().rotate(180)], lossless=True, duration=100)
    photo = read_image(out.getvalue())
    assert photo.pixels[5, 3].astype(int) == pytest.approx([200, 10, 30], abs=2)
    assert [flag.code for flag in photo.flags] == ["several-pictures"]


def test_what_phones_keep_beside_a_jpeg_is_no_second_picture():
    out = io.BytesIO()
    drawn().save(out, "MPO", save_all=True, append_images=[drawn()])
    photo = read_image(out.getvalue())
    assert photo.form == "JPEG"
    assert photo.flags == ()


def profile(name: str, curve: bytes) -> bytes:
    """A profile with a name and a green tone curve, as ICC.1 lays them out."""
    said = b"desc" + b"\0" * 4 + struct.pack(">I", len(name) + 1) + name.encode() + b"\0" * 80
    tags = [(b"desc", said), (b"gTRC", curve)]
    start = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for key, content in tags:
        table += struct.pack(">4sII", key, start + len(body), len(content))
        body += content
    return b"\0" * 36 + b"acsp" + b"\0" * 88 + table + body


def test_a_phones_wide_profile_is_told_and_changes_nothing():
    # parametric curve of sRGB, as wide-gamut phone profiles have it
    srgb = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    curve = b"para" + struct.pack(">IHH", 0, 3, 0) + struct.pack(">5i", *(round(65536 * one) for one in srgb))
    plain = read_image(written(drawn(), "JPEG"))
    photo = read_image(written(drawn(), "JPEG", icc_profile=profile("Display P3", curve)))
    assert photo.facts["profile"] == "Display P3"
    assert photo.flags == ()
    assert np.array_equal(photo.pixels, plain.pixels)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_an_unusual_tone_curve_is_flagged(form):
    curve = b"curv" + struct.pack(">IIH", 0, 1, 256)  # a gamma of one: linear
    photo = read_image(written(drawn(), form, icc_profile=profile("Linear", curve)))
    (flag,) = photo.flags
    assert flag.code == "tone-curve"
    assert "Linear" in flag.message
    assert "50%" in flag.message


def test_the_usual_profile_is_named_as_its_maker_names_it():
    data = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    photo = read_image(written(drawn(), "PNG", icc_profile=data))
    assert photo.profile is not None
    assert "sRGB" in photo.profile.name
    assert photo.profile.is_usual
    assert photo.flags == ()


@given(st.binary(max_size=400))
def test_a_damaged_profile_never_stops_a_picture(data):
    from tameshi.readers.picture.profile import read_profile

    read_profile(b"\0" * 36 + b"acsp" + data)
    read_profile(data)


def test_the_name_of_a_file_does_not_matter(tmp_path):
    from tameshi.cli.measuring import ImageOptions, measure_image

    generator = np.random.default_rng(3)
    contact = ContactPrint("palm heel", (wobbly_blob(generator, 0.0, 0.0, AREA),))
    picture = render_scan(contact, Box(-0.035, -0.03, 0.035, 0.03), 150.0, generator)
    path = tmp_path / "print.jpg"
    path.write_bytes(written(Image.fromarray(picture), "PNG", dpi=(150, 150)))
    measured = measure_image(path, ImageOptions(reference="scan"))
    assert measured.facts["format"] == "PNG"
    assert measured.footprint.contact_area.value == pytest.approx(AREA, rel=0.015)
