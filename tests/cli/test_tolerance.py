"""tameshi tolerance: what it prints for people and for programs, and what it refuses."""

import re

import pytest

STRIKE = ("--force", "2400 N", "--force-u", "2.5 %", "--area", "12 cm2", "--duration", "11 ms")
CAUTIONS = ("may be used on a person", "no limits to aim for", "qualified")


def test_json_is_the_object_of_the_docs(result):
    found = result("tolerance", *STRIKE, "--technique", "palm heel", "--pad", "none")
    assert found["schema"] == "tameshi.tolerance/1"
    assert set(found) == {"schema", "study", "cases", "values", "cautions", "gaps"}
    (case,) = found["cases"]
    assert case["force"]["u"] == pytest.approx(60.0)
    assert case["mean_pressure"]["value"] == pytest.approx(2e6)
    assert case["surfaces"] == ["palm heel"]
    values = {one["key"]: one for one in found["values"]}
    assert {one["key"] for one in case["comparisons"]} == set(values)
    assert "sk-at-area" in values
    for one in case["comparisons"]:
        assert one["comparability"] in {
            "comparable", "comparable from one side", "only with a model", "not comparable",
        }  # fmt: skip
        assert one["reason"]
        if one["reading"] is not None:
            assert one["reading"]["kind"] == values[one["key"]]["kind"]
            assert sum(one["probability"].values()) == pytest.approx(1.0)
        if one["comparability"] in {"only with a model", "not comparable"}:
            assert one["reading"] is one["place"] is one["probability"] is None


def test_a_published_value_is_in_coherent_si(result):
    found = result("tolerance", "--region", "face", "--quantity", "local pressure")
    assert found["cases"] == []
    jaw = {one["key"]: one for one in found["values"]}["iso-p03"]
    assert (jaw["value"], jaw["unit"], jaw["status"]) == (1.1e6, "Pa", "handed down")
    moment = result("tolerance", "--quantity", "bending moment")["values"][0]
    assert moment["unit"] == "N m"


def test_a_person_sees_cautions_on_every_screen(command):
    screens = [
        ("tolerance",),
        ("tolerance", "--region", "face"),
        ("tolerance", *STRIKE),
        ("tolerance", *STRIKE, "--endpoint", "fracture"),
    ]
    for arguments in screens:
        status, out, _ = command(*arguments)
        assert status == 0
        for needed in CAUTIONS:
            assert needed in " ".join(out.split()), arguments
        assert not re.search(r"\bsafe", out)


def test_the_chest_and_the_head_bring_their_own_cautions(command):
    _, chest, _ = command("tolerance", "--region", "chest")
    _, head, _ = command("tolerance", "--region", "head")
    _, hand, _ = command("tolerance", "--region", "hand")
    assert "Commotio cordis" in chest
    assert "Concussion" in head
    assert "Commotio cordis" not in hand
    assert "metacarpal" in hand


def test_both_systems_of_units_are_shown(command):
    _, out, _ = command("tolerance", *STRIKE, "--region", "skull", "--endpoint", "fracture")
    assert "N" in out
    assert "lbf" in out
    _, american, _ = command("tolerance", *STRIKE, "--region", "skull", "--units", "us")
    assert american.index("lbf") < american.index(" N ")


def test_the_surface_decides_which_own_limb(command):
    _, out, _ = command("tolerance", *STRIKE, "--technique", "roundhouse kick", "--region", "leg")
    told = " ".join(out.split())
    assert "The striker's own instep feels the force" in told
    assert "It is about the striker's own heel; this lands with the instep or shin" in told


def test_a_study_gives_what_is_typical_and_greatest(result, command, files, tmp_path):
    folder = tmp_path / "club"
    command("study", "new", folder)
    command("study", "add", folder, files / "strike.csv", "--technique", "palm heel")
    found = result("tolerance", folder)
    assert found["study"] == "club"
    (case,) = found["cases"]
    assert case["label"] == "Palm heel, its one strike"
    assert case["pad"] is None
    assert any(one["place"] == "above" for one in case["comparisons"])
    _, out, _ = command("tolerance", folder)
    assert "Pad not known" in " ".join(out.split())


def test_a_study_without_strikes_says_so(command, tmp_path):
    folder = tmp_path / "club"
    command("study", "new", folder)
    status, out, _ = command("tolerance", folder)
    assert status == 0
    assert "no strike" in out


@pytest.mark.parametrize("name", ["ranges.svg", "ranges.png"])
def test_a_picture_is_drawn(command, tmp_path, name):
    status, _, news = command("tolerance", *STRIKE, "--region", "face", "--picture", tmp_path / name)
    assert status == 0
    data = (tmp_path / name).read_bytes()
    assert data.startswith(b"<svg" if name.endswith("svg") else b"\x89PNG")
    assert name in news


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("--region", "tail"), "unknown-region"),
        (("--endpoint", "boredom"), "unknown-endpoint"),
        (("--quantity", "pressure"), "unknown-kind"),
        (("--force", "2400"), "unit-missing"),
        (("--force", "2400 s"), "wrong-unit"),
        (("--force", "-3 kN"), "not-positive"),
        (("--force", "0 N"), "not-positive"),
        (("--force", "3 kN", "--force-u", "-2 %"), "not-positive"),
        (("--force", "3 kN", "--force-u", "2 s"), "wrong-unit"),
        (("--force", "3 kN", "--force-u", "2"), "unit-missing"),
        (("--area", "12 cm2"), "no-force"),
        (("--force", "3 kN", "--picture", "x.jpg"), "wrong-picture"),
        (("--force", "3 kN", "--region", "ear", "--picture", "x.png"), "nothing-to-draw"),
        (("--units", "metric"), "unknown-units"),
    ],
)
def test_what_cannot_be_asked(result, arguments, code):
    assert result("tolerance", *arguments, status=2)["error"]["code"] == code


def test_a_study_and_a_typed_strike_are_two_questions(result, tmp_path):
    assert result("tolerance", tmp_path, "--force", "3 kN", status=2)["error"]["code"] == "two-strikes"
