import json
import math

import pytest

from tameshi.rig import parse_rig
from tests.rig.rigs import RIG

LOADS = [0, 500, 1000, 1500, 2000, 1500, 1000, 500, 0]


def written(tmp_path, heading, rows):
    path = tmp_path / "points.csv"
    path.write_text(heading + "\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def volts(load):
    return 4e-4 * load + 0.01 + 1e-5 * (load % 7)


def test_everything_is_told(result, tmp_path):
    path = written(tmp_path, "load (N),reading (V)", [f"{n},{volts(n):.6f}" for n in LOADS * 3])
    found = result("rig", "calibrate", path)
    assert found["schema"] == "tameshi.calibration/1"
    assert set(found["nonlinearity"]) == {"end_point", "best_line"}
    assert found["hysteresis"] is not None
    assert found["class_aa_from"] == pytest.approx(5.0 * found["class_a_from"])
    assert [one["line"] for one in found["residuals"]][:2] == [2, 3]


@pytest.mark.parametrize(
    ("unit", "newtons"),
    [("N", 1.0), ("kN", 1000.0), ("kgf", 9.80665), ("lbf", 4.4482216152605), ("kg", 9.80665),
     ("lb", 4.4482216152605)],
)  # fmt: skip
def test_units_of_loads(result, tmp_path, unit, newtons):
    path = written(
        tmp_path, f"load ({unit});reading [mV]", [f"{n / newtons:.8f};{1e3 * volts(n):.5f}" for n in LOADS]
    )
    found = result("rig", "calibrate", path)
    of_mass = unit in ("kg", "lb")
    # derived: masses weigh less in air by 1.2/8000
    assert found["greatest"] == pytest.approx(2000.0 * (1.0 - 1.5e-4 * of_mass), rel=1e-6)
    assert found["coefficients"][1] == pytest.approx(4e-4, rel=1e-3)
    # derived: 0.3 % and 0.013 % over sqrt 3, where masses weigh by a gravity nobody stated
    assert found["load_u"] == pytest.approx(math.hypot(0.003, 0.00013) / 3**0.5 if of_mass else 0.0)


def test_stated_gravity_weighs_masses(result, tmp_path):
    path = written(tmp_path, "mass (kg),reading (V)", [f"{n / 9.81},{volts(n):.6f}" for n in LOADS])
    found = result("rig", "calibrate", path, "--gravity", "9.81 m/s2")
    assert found["greatest"] == pytest.approx(2000.0 * (1.0 - 1.5e-4), rel=1e-9)
    assert found["load_u"] == pytest.approx(0.00013 / 3**0.5)  # buoyancy


def test_readings_in_mv_per_volt_take_the_rig(result, tmp_path):
    rows = [f"{n},{1e3 * volts(n) / (5.0 * 200.0):.8f}" for n in LOADS]
    path = written(tmp_path, "load (N),reading (mV/V)", rows)
    rig = tmp_path / "rig.toml"
    rig.write_text(RIG, encoding="utf-8")
    assert result("rig", "calibrate", path, status=2)["error"]["code"] == "scale-unknown"
    found = result("rig", "calibrate", path, "--rig", rig)
    assert found["coefficients"][1] == pytest.approx(4e-4, rel=1e-3)


def test_run_and_direction_columns(result, tmp_path):
    rows = [f"a;{'up' if i < 5 else 'down'};{n};{volts(n) + 0.004 * (i > 4):.6f}".replace(".", ",")
            for i, n in enumerate(LOADS)]  # fmt: skip
    path = written(tmp_path, "run;direction;load (N);reading (V)", rows)
    found = result("rig", "calibrate", path)
    assert found["hysteresis"] == pytest.approx(0.004 / 0.8, rel=0.02)


def test_the_output_as_it_is_goes_into_the_rig_file(command, tmp_path):
    rows = [f"{n},{volts(n) + (0.05 if i == 12 else 0.0):.6f}" for i, n in enumerate(LOADS * 3)]
    status, out, _ = command("rig", "calibrate", written(tmp_path, "load (N),reading (V)", rows))
    assert status == 0
    assert parse_rig(RIG + out).calibration is not None
    assert "line 14" in out
    assert "stand still" in out


@pytest.mark.parametrize(
    ("heading", "rows", "code"),
    [
        ("run,load (N),reading (V)", ["1,0,0.1", ",500,0.3", "1,900,0.5"], "run-missing"),
        ("way,load (N),reading (V)", ["up,0,0.1", "left,500,0.3", "up,900,0.5"], "direction-unclear"),
        ("load (s),reading (V)", ["0,0.1", "500,0.3", "900,0.5"], "unit-missing"),
        ("load (N),reading (V)", ["x,0.1", "500,y"], "no-numbers"),
        ("load (N),reading (V)", ["0,0.1", "0,0.1", "0,0.1"], "too-few-readings"),
    ],
)
def test_tables_that_cannot_be_used(command, tmp_path, heading, rows, code):
    status, out, _ = command("rig", "calibrate", written(tmp_path, heading, rows), "--json")
    assert status in (2, 3)
    assert json.loads(out)["error"]["code"] == code


def test_a_folder_and_a_gravity_from_nowhere(result, tmp_path):
    assert result("rig", "calibrate", tmp_path, status=2)["error"]["message"]
    path = written(tmp_path, "mass (kg),reading (V)", ["0,0", "10,0.04", "20,0.08"])
    assert (
        result("rig", "calibrate", path, "--gravity", "3.7 m/s2", status=2)["error"]["code"]
        == "wrong-gravity"
    )
    assert result("rig", "calibrate", path, "--gravity", "9.81", status=2)["error"]["code"] == "unit-missing"
