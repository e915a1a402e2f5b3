import numpy as np
import pytest

from tameshi.demo.chain import Surroundings, record
from tameshi.rig import calibration_table, fit_calibration, parse_rig
from tests.rig.drops import bouncing
from tests.rig.rigs import RIG

LOADS = np.tile(np.linspace(0.0, 5000.0, 11), 3)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Return a folder with a drop of 5 kg from 0.25 m, and rig files that are right and 4 % wrong."""
    made = tmp_path_factory.mktemp("drop")
    generator = np.random.default_rng(6)
    force, _ = bouncing(5.0, 0.25, 0.6, count=3, contact=0.010)
    volts = record(force, 1.5, parse_rig(RIG), Surroundings(noise=1.0), generator)
    (made / "drop.csv").write_text("force [V]\n" + "\n".join(f"{v:.6f}" for v in volts), encoding="utf-8")
    flat = "force [V]\n" + "\n".join("0.001" for _ in volts)
    (made / "flat.csv").write_text(flat, encoding="utf-8")
    for name, scale in (("right", 1.0), ("wrong", 1.04)):
        readings = scale * 4e-4 * LOADS + generator.normal(0.0, 2e-5, len(LOADS))
        fitted = fit_calibration(LOADS, readings, load_u=0.001)
        (made / f"{name}.toml").write_text(RIG + calibration_table(fitted), encoding="utf-8")
    return made


def ask(folder, *more, rig="right", name="drop"):
    return ["rig", "drop", folder / f"{name}.csv", "--rig", folder / f"{rig}.toml", "--rate", "20 kHz", *more]


FALL = ["--mass", "5 kg", "--height", "25 cm", "--mass-u", "0.1 %", "--height-u", "1 mm"]


def test_a_true_chain_agrees(result, folder):
    found = result(*ask(folder, *FALL, "--gravity", "9.80665 m/s2"))
    assert found["schema"] == "tameshi.drop/1"
    assert [one["drop"] for one in found["bounces"]] == [1, 1, 1]
    assert found["ratio"]["value"] == pytest.approx(1.0, abs=0.006)
    assert found["ratio"]["low"] < 1.0 < found["ratio"]["high"]
    assert found["bounces"][0]["restitution"]["value"] == pytest.approx(0.6, abs=0.01)
    assert found["bounces"][2]["ratio"]["value"] is None
    assert found["bounces"][2]["within_bounds"] is True


def test_a_chain_that_reads_low_is_found_out(result, folder):
    found = result(*ask(folder, *FALL, rig="wrong"))
    assert found["ratio"]["value"] == pytest.approx(1.0 / 1.04, abs=0.006)
    assert found["ratio"]["high"] < 1.0
    assert "low" in found["agreement"]
    assert "does not hold 1" in found["agreement"]


def test_a_pair_of_bounces_does_without_height(result, folder):
    found = result(*ask(folder, "--mass", "5 kg"))
    assert found["height"] is None
    assert found["ratio"]["value"] == pytest.approx(1.0, abs=0.01)


def test_bounces_can_be_picked(result, folder):
    found = result(*ask(folder, *FALL, "--bounces", "1-2"))
    assert [one["strike"] for one in found["bounces"]] == [1, 2]


def test_a_drop_for_a_person(command, folder):
    status, out, _ = command(*ask(folder, *FALL))
    assert status == 0
    assert "all together: the chain reads" in out
    assert "fingers" in out
    assert "air drag is neglected" in out


@pytest.mark.parametrize(
    ("options", "name", "status", "code"),
    [
        (["--mass", "5", "--height", "25 cm"], "drop", 2, "unit-missing"),
        (["--mass", "5 N", "--height", "25 cm"], "drop", 2, "wrong-unit"),
        (["--mass", "5 kg", "--height", "25 kg"], "drop", 2, "wrong-unit"),
        (["--mass", "0 kg", "--height", "25 cm"], "drop", 2, "wrong-mass"),
        (["--mass", "5 kg", "--height", "25 cm", "--gravity", "1 m/s2"], "drop", 2, "wrong-gravity"),
        (["--mass", "5 kg", "--bounces", "one"], "drop", 2, "wrong-list"),
        (["--mass", "5 kg", "--bounces", "9"], "drop", 3, "no-bounce"),
        (["--mass", "5 kg"], "flat", 3, "no-bounce"),
        (["--mass", "5 kg"], "gone", 2, "no-such-file"),
        (["--height", "1 m"], "drop", 2, "wrong-use"),
    ],
)
def test_what_cannot_be_checked(result, folder, options, name, status, code):
    assert result(*ask(folder, *options, name=name), status=status)["error"]["code"] == code
