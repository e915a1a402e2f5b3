import io

import h5py
import numpy as np
import pytest
import soundfile

from tameshi.rig import parse_rig
from tests.rig.rigs import RIG
from tests.rig.taps import tap_recording

RATE = 20_000


@pytest.fixture(scope="module")
def taps(tmp_path_factory):
    folder = tmp_path_factory.mktemp("taps")
    samples = tap_recording(1500.0, 0.025, float(RATE), seed=4)
    written = io.BytesIO()
    soundfile.write(written, samples / 2.0, RATE, format="WAV", subtype="PCM_24")
    (folder / "taps.wav").write_bytes(written.getvalue())
    (folder / "taps.csv").write_text("volts\n" + "\n".join(f"{one:.6f}" for one in samples), encoding="utf-8")
    (folder / "silent.csv").write_text("volts\n" + "0.1\n" * 500, encoding="utf-8")
    (folder / "rig.toml").write_text(RIG, encoding="utf-8")
    return folder


def test_taps_need_no_scale(result, taps):
    found = result("rig", "tap", taps / "taps.wav")
    assert found["schema"] == "tameshi.tap/1"
    assert found["natural_frequency"]["value"] == pytest.approx(1500.0, rel=1e-3)
    assert found["natural_frequency"]["unit"] == "Hz"
    assert found["damping_ratio"]["low"] < 0.025 < found["damping_ratio"]["high"]
    assert len(found["taps"]) == 5


def test_the_printed_lines_go_into_the_rig_file(result, taps):
    lines = result("rig", "tap", taps / "taps.csv", "--rate", "20 kHz")["rig_file"]
    text = RIG.replace('natural_frequency = "2500 Hz"\ndamping_ratio = 0.03', "\n".join(lines))
    cell = parse_rig(text).cell
    assert cell.natural_frequency == pytest.approx(1500.0, rel=1e-3)
    assert cell.natural_frequency_u is not None
    assert cell.damping_ratio_u is not None


def test_a_channel_with_a_rate_of_its_own(result, taps):
    fast = tap_recording(1500.0, 0.025, float(RATE), seed=4)
    with h5py.File(taps / "taps.h5", "w") as file:
        for name, values, rate in (("cell_V", fast, RATE), ("slow_V", fast[::10], RATE // 10)):
            file.create_dataset(name, data=values.astype(np.float32)).attrs["fs"] = rate
    found = result("rig", "tap", taps / "taps.h5", "--channel", "cell")
    assert found["natural_frequency"]["value"] == pytest.approx(1500.0, rel=1e-3)


def test_taps_for_a_person(command, taps):
    status, out, _ = command("rig", "tap", taps / "taps.wav", "--rig", taps / "rig.toml")
    assert status == 0
    assert "natural_frequency = " in out
    assert "the rig file says 2500 Hz" in out
    assert "fingers" in out


@pytest.mark.parametrize(
    ("name", "options", "status", "code"),
    [
        ("silent.csv", ["--rate", "20 kHz"], 3, "no-taps"),
        ("taps.csv", [], 2, "rate-unknown"),
        ("taps.csv", ["--rate", "20"], 2, "unit-missing"),
        ("taps.csv", ["--rate", "20 kN"], 2, "wrong-unit"),
        ("taps.wav", ["--channel", "none"], 2, "unknown-channel"),
        ("", [], 2, None),
        ("gone.wav", [], 2, "no-such-file"),
    ],
)
def test_what_cannot_be_measured(result, taps, name, options, status, code):
    error = result("rig", "tap", taps / name, *options, status=status)["error"]
    assert code is None or error["code"] == code
    assert error["message"]
