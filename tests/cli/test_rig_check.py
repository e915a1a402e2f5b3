import numpy as np
import pytest

from tests.rig.rigs import RIG

STRIKE = ["--peak", "2 kN", "--duration", "8 ms"]


@pytest.fixture
def rig_file(tmp_path):
    path = tmp_path / "rig.toml"
    path.write_text(RIG, encoding="utf-8")
    return path


def limits(found):
    return {limit["name"]: limit for limit in found["limits"]}


def test_each_limit_says_what_it_does(result, rig_file):
    found = result("rig", "check", rig_file, *STRIKE, "--rise", "2 ms")
    cell = limits(found)["natural frequency"]
    assert {"peak_error", "rise_error", "impulse_error", "verdict", "finding", "remedy"} <= set(cell)
    assert abs(cell["impulse_error"]) < abs(cell["peak_error"])
    assert set(found["together"]) == {"peak_error", "rise_error", "impulse_error"}
    assert limits(found)["pad"]["peak_error"] is None


def test_a_pad_that_is_not_said_is_asked_for(result, rig_file):
    rig_file.write_text(RIG.replace('pad = "none"', ""), encoding="utf-8")
    asked = limits(result("rig", "check", rig_file, *STRIKE))["pad"]
    assert asked["verdict"] == "tight"
    assert 'pad = "none"' in asked["remedy"]


def test_a_quiet_recording_gives_the_noise(result, rig_file, tmp_path):
    quiet = tmp_path / "quiet.csv"
    samples = np.random.default_rng(1).normal(0.01, 0.004, 4000)
    quiet.write_text("volts [V]\n" + "\n".join(f"{one:.6f}" for one in samples), encoding="utf-8")
    found = result("rig", "check", rig_file, *STRIKE, "--quiet", quiet)
    # derived: 4 mV over 0.4 mV/N are 10 N of 2 kN
    assert limits(found)["noise"]["peak_error"] == pytest.approx(0.005, rel=0.05)


@pytest.mark.parametrize(("name", "starts"), [("a.png", b"\x89PNG"), ("a.svg", b"<svg")])
def test_a_picture_is_drawn(command, rig_file, tmp_path, name, starts):
    status, out, news = command("rig", "check", rig_file, *STRIKE, "--picture", tmp_path / name)
    assert status == 0
    assert "all together" in out
    assert name in news
    drawn = (tmp_path / name).read_bytes()
    assert drawn.startswith(starts)
    if name.endswith("svg"):
        text = drawn.decode()
        assert "natural frequency" in text
        assert "force [kN]" in text
        assert "force [lbf]" in text
        assert 'fill="white"' in text


@pytest.mark.parametrize(
    ("options", "status", "code"),
    [
        (["--picture", "a.jpg"], 2, "wrong-picture"),
        (["--picture", "a"], 2, "wrong-picture"),
        (["--rise", "20 ms"], 2, "wrong-rise"),
        (["--rise", "2"], 2, "unit-missing"),
        (["--quiet", "gone.csv"], 2, "no-such-file"),
    ],
)
def test_what_cannot_be_asked(result, rig_file, options, status, code):
    assert result("rig", "check", rig_file, *STRIKE, *options, status=status)["error"]["code"] == code


def test_a_quiet_recording_that_is_not(result, rig_file, tmp_path):
    loud = tmp_path / "loud.csv"
    samples = np.random.default_rng(1).normal(0.01, 0.004, 4000)
    samples[2000:2100] += 1.0
    loud.write_text("volts [V]\n" + "\n".join(f"{one:.6f}" for one in samples), encoding="utf-8")
    error = result("rig", "check", rig_file, *STRIKE, "--quiet", loud, status=3)["error"]
    assert error["code"] == "not-quiet"


def test_a_folder_is_no_rig_file(result, tmp_path):
    assert result("rig", "check", tmp_path, *STRIKE, status=2)["error"]["message"]
