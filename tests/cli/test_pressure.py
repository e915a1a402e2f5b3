import re

import numpy as np
import pytest

from tameshi.demo.photo import as_png
from tests.footprint.scenes import scan_of
from tests.readers.files import FORCE, TIME, text


def test_json_is_the_object_of_the_contract(result, files):
    found = result("pressure", files / "strike.csv", files / "print.jpg")
    assert found["schema"] == "tameshi.pressure/1"
    assert set(found) >= {"schema", "force", "area", "mean_pressure", "peak_pressure_band", "flags"}
    true = FORCE.max() / (np.pi * 0.02**2)
    assert found["mean_pressure"]["unit"] == "Pa"
    course = found["over_time"]
    assert len(course["time"]) == len(course["low"]) == len(course["high"])
    assert max(course["low"]) == pytest.approx(found["mean_pressure"]["low"], rel=0.02)
    assert course["half_duration"]["low"] < course["half_duration"]["high"] < course["time"][-1]
    assert [one["line"] for one in found["limited_by"]]
    assert len(found["by_patch"]["patches"]) >= 1
    assert found["mean_pressure"]["low"] < true < found["mean_pressure"]["high"]
    assert found["mean_pressure"]["value"] == pytest.approx(
        found["force"]["value"] / found["area"]["value"], rel=1e-12
    )
    band = found["peak_pressure_band"]
    assert (band["low"], band["high"]) == pytest.approx(
        (found["mean_pressure"]["value"], 2.0 * found["mean_pressure"]["value"])
    )
    assert "print-scale-unchecked" in {flag["code"] for flag in found["flags"]}


def test_a_person_is_told_what_the_figure_cannot_say(command, files):
    _, out, _ = command("pressure", files / "strike.csv", files / "print.jpg")
    assert "MPa" in out
    assert "psi" in out
    assert "qualified people" in out


@pytest.fixture
def two_strikes(tmp_path):
    path = tmp_path / "two.csv"
    samples = np.concatenate((FORCE, 0.5 * FORCE))
    lines = [f"{index / 20_000.0:.6f},{force:.4f}" for index, force in enumerate(samples)]
    path.write_bytes(text("time_s,force_N", lines))
    assert len(TIME) == 2000
    return path


def test_of_several_strikes_one_has_to_be_named(result, two_strikes, files):
    error = result("pressure", two_strikes, files / "print.jpg", status=2)["error"]
    assert error["code"] == "strike-unclear"
    assert "1 at 0.030 s, 2 at 0.130 s" in error["hint"]
    found = result("pressure", two_strikes, files / "print.jpg", "--strike", "2")
    assert found["force"]["value"] == pytest.approx(1000.0, rel=0.02)
    assert result("pressure", two_strikes, files / "print.jpg", "--strike", "3", status=2)


def test_without_a_strike_there_is_no_pressure(result, files, tmp_path):
    quiet = tmp_path / "quiet.csv"
    noise = np.random.default_rng(0).normal(0.0, 2.0, 4000)
    quiet.write_bytes(text("time_s,force_N", [f"{i / 2e4:.6f},{f:.4f}" for i, f in enumerate(noise)]))
    assert result("pressure", quiet, files / "print.jpg", status=3)["error"]["code"] == "no-strike"


def test_a_clipped_strike_gives_no_pressure_but_its_bound(result, files, tmp_path):
    cut = tmp_path / "cut.csv"
    lines = [f"{t:.6f},{f:.4f}" for t, f in zip(TIME, np.minimum(FORCE, 1500.0), strict=True)]
    cut.write_bytes(text("time_s,force_N", lines))
    error = result("pressure", cut, files / "print.jpg", status=3)["error"]
    assert error["code"] == "no-force"
    # less what a scale that nobody vouches for leaves in doubt
    bound = re.search(r"at least (\d+) N", error["message"])
    assert bound is not None
    assert 0.97 * 1500.0 < float(bound[1]) < 1500.0


def test_a_recording_alone_is_refused(result, files):
    error = result("pressure", files / "strike.csv", status=2)["error"]
    assert error["code"] == "no-image"
    assert "folder of a study" in error["hint"]


def test_a_study_gives_its_contact_areas(result, command, files, tmp_path):
    folder = tmp_path / "club"
    command("study", "new", folder)
    _, out, _ = command("pressure", folder)
    assert "no measured print" in out
    command("study", "add", folder, files / "print.jpg", "--technique", "palm heel", "--bar", "100 mm")
    found = result("pressure", folder)
    (contact,) = found["contacts"]
    assert contact["repeats"]["count"] == 1
    assert contact["against_force"][0]["law"] is None
    assert "no law of area against force" in command("pressure", folder)[1]


def test_a_print_corrected_by_hand_gives_its_own_pressure(result, files):
    both = (files / "strike.wav", files / "print.jpg", "--rig", files / "rig.toml")
    whole = result("pressure", *both)
    half = result("pressure", *both, "--lasso", "50,100 90,100 90,180 50,180")
    assert half["mean_pressure"]["value"] == pytest.approx(2.0 * whole["mean_pressure"]["value"], rel=0.02)
    assert "corrected-by-hand" in [flag["code"] for flag in half["flags"]]


def test_alike_patches_and_the_limits_of_a_pressure_are_told(command, result, files):
    _, out, _ = command("pressure", files / "strike.csv", files / "print.jpg", "--alike")
    assert "What limits the mean pressure" in out
    assert "above half its peak" in out
    assert "Bounds only" in out
    found = result("pressure", files / "strike.csv", files / "print.jpg", "--alike")["by_patch"]
    assert found["justified"] is (len(found["patches"]) == 1)


@pytest.fixture
def two_fists(tmp_path):
    path = tmp_path / "two.png"
    path.write_bytes(as_png(scan_of((0.03, 0.05, 0.011), (0.13, 0.05, 0.009), size=(0.16, 0.1)), dpi=200.0))
    return path


def test_of_two_prints_on_a_sheet_one_has_to_be_named(result, command, files, two_fists):
    error = result("pressure", files / "strike.csv", two_fists, status=2)["error"]
    assert error["code"] == "print-unclear"
    assert "1 at x = 30 mm" in error["hint"]
    areas = [
        result("pressure", files / "strike.csv", two_fists, "--print", which)["area"]["value"]
        for which in ("1", "2", "all")
    ]
    assert areas == pytest.approx(
        [np.pi * 0.011**2, np.pi * 0.009**2, np.pi * (0.011**2 + 0.009**2)], rel=0.01
    )
    assert result("pressure", files / "strike.csv", two_fists, "--print", "3", status=2)["error"]["code"] == (
        "unknown-print"
    )
    assert result("pressure", files / "strike.csv", two_fists, "--print", "left", status=2)
    together = result("pressure", files / "strike.csv", two_fists, "--apart", "9 cm")
    assert together["area"]["value"] == pytest.approx(areas[2])
    _, shown, _ = command("footprint", two_fists)
    assert "print 2, contact" in shown
    assert "patch 1, longer axis" in shown
