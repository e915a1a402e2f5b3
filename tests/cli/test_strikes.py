import json

import pytest

from tests.rig.rigs import RIG

FIGURES = (
    "peak_force", "time_to_peak", "rise_time", "contact_duration", "impulse", "impulse_to_peak",
    "loading_rate", "mean_force",
)  # fmt: skip


def test_json_is_the_object_of_the_contract(result, files):
    found = result("strikes", files / "strike.csv")
    assert found["schema"] == "tameshi.strikes/1"
    assert found["recording"]["rate"] == pytest.approx(20_000.0)
    assert found["recording"]["samples"] == 2000
    assert len(found["recording"]["sha256"]) == 64
    (strike,) = found["strikes"]
    assert strike["peak_force"]["value"] == pytest.approx(2000.0, rel=0.01)
    assert strike["peak_force"]["unit"] == "N"
    for name in FIGURES:
        assert strike[name]["low"] < strike[name]["value"] < strike[name]["high"]
        assert strike[name]["budget"]


def test_a_person_sees_both_systems_of_units_and_the_flags(command, files):
    status, out, news = command("strikes", files / "strike.csv")
    assert status == 0
    assert "2000" in out
    assert "lbf" in out
    assert "[uncalibrated]" in out
    assert news == ""


def test_us_units_first(command, files):
    _, out, _ = command("strikes", files / "strike.csv", "--units", "us")
    assert "449." in out


def test_wav_with_a_rig(result, files):
    found = result("strikes", files / "strike.wav", "--rig", files / "rig.toml")
    assert found["recording"]["conversion"] == "ratings"
    assert found["recording"]["pad"] == "none"
    # full scale is 5 V, which is 12.5 kN by the ratings; the file holds 2000 of 5000 parts of it
    assert found["strikes"][0]["peak_force"]["value"] == pytest.approx(0.4 * 12_500.0, rel=0.01)


def test_a_rig_file_without_a_pad_leaves_it_open_and_says_so(result, files, tmp_path):
    silent = tmp_path / "silent.toml"
    silent.write_text(RIG.replace('pad = "none"', ""), encoding="utf-8")
    found = result("strikes", files / "strike.wav", "--rig", silent)
    assert found["recording"]["pad"] is None
    assert "pad-not-said" in {flag["code"] for flag in found["flags"]}
    bare = result("strikes", files / "strike.wav", "--rig", files / "rig.toml")
    assert "pad-not-said" not in {flag["code"] for flag in bare["flags"]}


def test_wav_with_a_typed_scale(result, files):
    found = result("strikes", files / "strike.wav", "--force-scale", "5 kN")
    assert found["strikes"][0]["peak_force"]["value"] == pytest.approx(2000.0, rel=0.01)


def test_a_rate_takes_the_place_of_the_stamps(result, files):
    found = result("strikes", files / "strike.csv", "--rate", "40 kHz")
    assert found["recording"]["rate"] == 40_000.0
    assert found["strikes"][0]["contact_duration"]["value"] == pytest.approx(0.5 * 0.00968, rel=0.02)


def test_a_channel_class(result, files):
    found = result("strikes", files / "strike.csv", "--channel-class", "60")
    assert found["strikes"][0]["peak_force"]["value"] == pytest.approx(0.9507 * 2000.0, rel=0.01)


def test_several_recordings_in_one_object_and_one_bad_one_does_not_stop_them(result, files, tmp_path):
    bad = tmp_path / "bad.csv"
    bad.write_bytes(b"nothing here")
    found = result("strikes", files / "strike.csv", bad, files / "strike.csv", status=3)
    assert found["schema"] == "tameshi.recordings/1"
    assert [("error" in one) for one in found["recordings"]] == [False, True, False]


def test_json_goes_to_standard_output_and_nothing_else_does(command, files):
    _, out, news = command("strikes", files / "strike.csv", "--json")
    assert json.loads(out)
    assert news == ""


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["--rate", "20"], "unit-missing"),
        (["--rate", "20 kg"], "wrong-unit"),
        (["--force-scale", "2 kN/V"], "unit-conflict"),
        (["--channel", "nothing"], "unknown-channel"),
        (["--channel-class", "77"], "unknown-class"),
        (["--rig", "missing.toml"], "no-such-file"),
        (["--units", "imperial"], "unknown-units"),
        (["--what"], "wrong-use"),
        (["--channel-class", "many"], "wrong-use"),
    ],
)
def test_a_wrong_call_exits_with_2_and_says_what_is_wrong(result, files, arguments, code):
    error = result("strikes", files / "strike.csv", *arguments, status=2)["error"]
    assert error["code"] == code
    assert error["message"]
    assert error["hint"]


def test_no_recording_at_all_is_a_wrong_call(result):
    assert result("strikes", status=2)["error"]["code"] == "wrong-use"


def test_budgets_checked_by_simulation(result, command, files):
    found = result("strikes", files / "strike.csv", "--check-budgets", "30")
    assert {one["figure"] for one in found["budget_check"]} == set(FIGURES)
    for one in found["budget_check"]:
        assert one["strike"] == 1
        assert one["draws"] == 30
        assert 0.0 < one["scatter"] < 3.0 * one["u"]
    assert result("strikes", files / "strike.csv", "--check-budgets", "30") == found
    status, out, _ = command("strikes", files / "strike.csv", "--check-budgets", "30")
    assert status == 0
    assert "budgets checked by simulation" in out


def test_too_few_draws_are_refused(command, files):
    status, _, news = command("strikes", files / "strike.csv", "--check-budgets", "3")
    assert status == 2
    assert "20" in news


def test_budgets_are_not_checked_behind_a_filter(command, files):
    status, _, news = command(
        "strikes", files / "strike.csv", "--check-budgets", "30", "--channel-class", "180"
    )
    assert status == 2
    assert "unfiltered" in news
