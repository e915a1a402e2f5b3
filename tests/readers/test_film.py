"""Films: true times of every frame, real rates that are told or asked for, and files that are none."""

import io
from contextlib import suppress
from dataclasses import replace

import numpy as np
import pytest

from tameshi.demo.film import FilmCamera, Filmed, FilmScene, film
from tameshi.demo.film_file import FilmFile, store_film
from tameshi.errors import TameshiError, UnmeasurableError, UnreadableError
from tameshi.readers.film import read_film

TINY = FilmCamera(width=320, height=180, focal=480.0)
CAPTURE = "com.android.capture.fps"
INTENT = "com.apple.quicktime.full-frame-rate-playback-intent"


@pytest.fixture(scope="module")
def filmed() -> Filmed:
    return film(FilmScene(seconds_before=0.01, seconds_after=0.02), TINY, np.random.default_rng(1))


def read(data: bytes, **asked):
    return read_film(data, "film", key="key", **asked)


@pytest.mark.parametrize(
    "how",
    [FilmFile(), FilmFile(form="mov"), FilmFile(form="matroska"), FilmFile(form="avi", codec="mpeg4")],
    ids=["mp4", "mov", "matroska", "avi"],
)
def test_common_containers_keep_every_frame_and_its_time(filmed, how):
    found = read(store_film(filmed, how))
    assert len(found.film.frames) == len(filmed.frames)
    # Matroska rounds to a millisecond; the even grid behind it is found again
    assert found.film.times == pytest.approx(filmed.times, abs=2e-4)
    assert found.facts.rate == pytest.approx(240.0, rel=0.001)
    assert found.facts.rate_from == "stamps"
    left = found.film.frames.astype(float) - np.stack(filmed.frames)
    assert np.sqrt(np.mean(left**2)) < 6.0


def test_an_uneven_rate_is_kept_as_it_is(filmed):
    uneven = np.cumsum(np.where(np.arange(len(filmed.times)) % 3 == 0, 0.0050, 0.0040))
    data = store_film(replace(filmed, times=uneven - uneven[0]))
    assert read(data).film.times == pytest.approx(uneven - uneven[0], abs=2e-5)


def test_slow_motion_is_retimed_by_what_the_camera_wrote(filmed):
    found = read(store_film(filmed, FilmFile(slowed=8.0, tags={CAPTURE: "240.000000"})))
    assert found.film.times == pytest.approx(filmed.times, abs=2e-5)
    assert (found.facts.rate_from, found.facts.playback_rate) == ("tag", pytest.approx(30.0))
    assert [flag.code for flag in found.flags] == ["slow-motion"]


@pytest.mark.parametrize("tags", [{}, {INTENT: "0"}, {CAPTURE: "nonsense"}])
def test_a_film_that_plays_slowly_and_does_not_say_is_asked_for(filmed, tags):
    data = store_film(filmed, FilmFile(slowed=8.0, tags=tags))
    with pytest.raises(UnmeasurableError, match="--real-rate") as refused:
        read(data)
    assert refused.value.code == "rate-doubtful"
    assert read(data, real_rate=240.0).film.times == pytest.approx(filmed.times, abs=2e-5)


def test_a_stated_rate_is_taken_against_the_file_and_says_so(filmed):
    found = read(store_film(filmed, FilmFile(slowed=8.0, tags={CAPTURE: "240"})), real_rate=120.0)
    assert found.facts.rate == 120.0
    assert [flag.code for flag in found.flags] == ["rate-contradicted"]


def test_a_turned_film_stands_upright_and_its_rows_run_sideways(filmed):
    found = read(store_film(filmed, FilmFile(turned=90)))
    assert found.film.frames.shape[1:] == (320, 180)
    assert found.film.rows_run == "right"
    assert found.facts.turned == 90
    upright = np.rot90(filmed.frames[0].astype(float))  # anticlockwise, as the display matrix has it
    assert np.corrcoef(found.film.frames[0].ravel(), upright.ravel())[0, 1] > 0.95


def test_only_the_frames_that_were_asked_for(filmed):
    found = read(store_film(filmed), frames=(10, 25))
    assert (found.film.first, len(found.film.frames), found.facts.frames) == (10, 16, len(filmed.frames))
    assert found.film.times == pytest.approx(filmed.times[9:25], abs=2e-5)
    with pytest.raises(UnreadableError):
        read(store_film(filmed), frames=(500, 600))


def test_sound_comes_with_its_time(filmed):
    beat = np.zeros(9600, np.float32)
    beat[4800:4900] = 0.8
    found = read(store_film(filmed, FilmFile(sound=beat)))
    assert found.sound is not None
    loudest = found.sound.start + int(np.argmax(np.abs(found.sound.samples))) / found.sound.rate
    assert loudest == pytest.approx(0.1, abs=0.005)


@pytest.mark.parametrize("data", [b"", b"no film" * 50, b"\x00\x00\x00\x18ftypmp42" + bytes(300)])
def test_what_is_no_film_is_refused(data):
    with pytest.raises(UnreadableError) as refused:
        read(data)
    assert refused.value.code in {"unreadable-film", "no-picture"}


def test_a_damaged_film_gives_a_film_or_a_refusal(filmed):
    data = store_film(filmed)
    rng = np.random.default_rng(4)
    for _ in range(25):
        hurt = bytearray(data)
        for place in rng.integers(0, len(data), 20):
            hurt[place] ^= int(rng.integers(1, 256))
        with suppress(TameshiError):  # one of ours, or a film
            read(bytes(hurt))
    for share in (0.1, 0.5, 0.9, 0.99):
        with suppress(TameshiError):
            read(data[: int(share * len(data))])


def test_a_sound_without_picture_is_no_film():
    import av

    written = io.BytesIO()
    with av.open(written, "w", format="wav") as container:
        stream = container.add_stream("pcm_s16le", rate=8000, layout="mono")
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 800), np.int16), format="s16", layout="mono")
        frame.sample_rate = 8000
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    with pytest.raises(UnreadableError) as refused:
        read(written.getvalue())
    assert refused.value.code == "no-picture"
