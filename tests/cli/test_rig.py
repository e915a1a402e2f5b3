import pytest

from tameshi.rig import parse_rig
from tests.rig.rigs import RIG


def test_check_names_every_limit_with_a_verdict(result, files):
    found = result("rig", "check", files / "rig.toml", "--peak", "2 kN", "--duration", "10 ms")
    assert found["schema"] == "tameshi.rig-check/1"
    assert {limit["verdict"] for limit in found["limits"]} <= {"met", "tight", "not met"}
    assert {"cell capacity", "sampling", "natural frequency", "calibration"} <= {
        limit["name"] for limit in found["limits"]
    }


def test_check_for_a_person(command, files):
    status, out, _ = command(
        "rig", "check", files / "rig.toml", "--peak", "9 kN", "--duration", "10 ms", "--rise", "3 ms"
    )
    assert status == 0
    assert "not met" in out


@pytest.mark.parametrize(("peak", "duration"), [("9", "10 ms"), ("9 kN", "10"), ("9 s", "10 ms")])
def test_check_wants_units(result, files, peak, duration):
    assert result("rig", "check", files / "rig.toml", "--peak", peak, "--duration", duration, status=2)


def test_a_broken_rig_file_names_every_problem(result, tmp_path):
    path = tmp_path / "rig.toml"
    path.write_text(RIG.replace('"5 kN"', '"5"').replace("gain", "gian"), encoding="utf-8")
    error = result("rig", "check", path, "--peak", "1 kN", "--duration", "5 ms", status=2)["error"]
    assert error["code"] == "rig-file"
    assert "capacity" in error["message"]
    assert "did you mean 'gain'" in error["message"]


def test_a_rig_file_that_is_no_text(result, tmp_path):
    path = tmp_path / "rig.toml"
    path.write_bytes(b"\xff\xfe\x00\x80")
    assert result("rig", "check", path, "--peak", "1 kN", "--duration", "5 ms", status=3)


POINTS = "load (N),reading (mV)\n" + "".join(f"{load},{0.4 * load + 0.02}\n" for load in range(0, 2001, 250))


def test_calibrate_prints_a_table_that_goes_into_the_rig_file(command, tmp_path):
    path = tmp_path / "points.csv"
    path.write_text(POINTS, encoding="utf-8")
    status, out, _ = command("rig", "calibrate", path, "--load-u", "0.1 %")
    assert status == 0
    fitted = parse_rig(RIG + out).calibration
    assert fitted is not None
    assert fitted.coefficients[1] == pytest.approx(0.4e-3)
    assert fitted.greatest == 2000.0
    assert fitted.load_u == pytest.approx(0.001)


@pytest.mark.parametrize(
    ("content", "status", "code"),
    [
        ("load (N)\n1\n2\n3\n", 3, "too-few-columns"),
        ("a,b\n1,2\n2,3\n3,4\n", 2, "unit-missing"),
        ("load (N),reading (V)\n0,0.1\n1000,0.5\n", 3, "too-few-readings"),
        ("nothing", 3, "no-numbers"),
        ("load (N),reading (V)\n0,0.1\n1000,0.5\n2000,0.9\n", 2, "wrong-degree"),
    ],
)
def test_points_that_make_no_calibration(result, tmp_path, content, status, code):
    path = tmp_path / "points.csv"
    path.write_text(content, encoding="utf-8")
    degree = ["--degree", "3"] if code == "wrong-degree" else []
    assert result("rig", "calibrate", path, *degree, status=status)["error"]["code"] == code
