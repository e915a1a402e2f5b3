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
    assert "The force that the plate reads acts on the striker's own instep" in told
    assert "It is about the striker's own heel; this lands with the instep or shin" in told


@pytest.mark.parametrize(
    ("technique", "region", "own"),
    [
        ("palm heel", "wrist", "wrist end of the radius"),
        ("palm heel", "hand", "thenar eminence"),
        ("jab", "hand", "any place of the region"),
        ("hammer fist", "hand", "any place of the region"),
        ("instep kick", "foot", "metatarsals"),
        ("side kick", "foot", "along the leg"),
        ("low kick", "shin", "tibia"),
    ],
)
def test_the_strikers_own_hand_wrist_foot_and_shin_are_rows(result, technique, region, own):
    found = result("tolerance", *STRIKE, "--technique", technique, "--region", region, "--pad", "none")
    places = {one["key"]: one["structure"] for one in found["values"]}
    ours = [
        one
        for one in found["cases"][0]["comparisons"]
        if one["comparability"] == "comparable" and one["place"]
    ]
    assert any(own in places[one["key"]] for one in ours)


def test_what_nobody_knows_of_the_strikers_own_limb_is_said(command):
    _, out, _ = command("tolerance", *STRIKE, "--technique", "hammer fist")
    assert "No force that breaks the striker's own little finger side was found." in out
    _, out, _ = command("tolerance", *STRIKE, "--technique", "palm heel")
    assert "No force that breaks the striker's own" not in out


def test_an_overview_counts_how_area_and_duration_match(command):
    _, out, _ = command("tolerance", *STRIKE, "--technique", "palm heel", "--pad", "none")
    told = " ".join(out.split())
    assert re.search(r"Contact area beside those of the \d+ values: .*unlike \d+", told)
    assert re.search(r"Contact duration beside those of the \d+ values: slow \d+", told)


def test_an_injury_criterion_is_asked_for_with_its_windows(result):
    found = result("tolerance", "--quantity", "head injury criterion")
    assert {one["kind"] for one in found["values"]} == {
        "head injury criterion",
        "head injury criterion over 15 ms",
        "head injury criterion over 36 ms",
    }


def test_every_value_asked_for_is_shown_with_how_it_stands_and_why(command):
    _, out, _ = command("tolerance", *STRIKE, "--region", "abdomen", "--technique", "jab")
    told = " ".join(out.split())
    assert "set beside none of these" in told
    for key in ("ab-01", "ab-06", "iso-f06", "bg-2.3p"):
        assert f"[{key}]" in told
    for words in ("only with a model", "not comparable", "Comparable from one side"):
        assert words in told


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


@pytest.fixture
def club(command, files, tmp_path):
    """A study with one strike of a technique, on a plate that its rig file calls bare."""
    folder = tmp_path / "club"
    command("study", "new", folder)
    said = ("--technique", "palm heel", "--rig", files / "rig.toml")
    assert command("study", "add", folder, files / "strike.wav", *said)[0] == 0
    return folder


def by_model(found):
    """Return what of a case was compared through a model, by key."""
    (case,) = found["cases"]
    return {
        one["key"]: one
        for one in case["comparisons"]
        if one["reading"] is not None and one["reading"]["model"]
    }


def test_a_study_sets_modelled_bands_beside_the_values_that_need_a_model(result, command, club):
    assert by_model(result("tolerance", club)) == {}
    onto = ("--onto", "face", "--speed", "8 m/s to 9 m/s")
    asked = result("tolerance", club, *onto)
    command("transfer", club, *onto, "--keep")
    kept = result("tolerance", club)
    assert by_model(kept) == by_model(asked)
    found = by_model(kept)
    values = {one["key"]: one for one in kept["values"]}
    assert {"hk-04", "hk-10", "hk-13", "hk-28", "hk-29"} <= set(found)
    assert {values[key]["region"] for key in found} == {"brain"}
    assert {one["comparability"] for one in found.values()} == {"only with a model"}
    assert all(one["reason"].startswith("Modelled, not measured") for one in found.values())
    assert all(sum(one["probability"].values()) == pytest.approx(1.0) for one in found.values())
    assert {"modelled", "head-modelled"} <= {one["key"] for one in kept["cautions"]}


def test_the_screen_marks_what_is_modelled_and_what_that_rests_on(command, club):
    _, out, _ = command("tolerance", club, "--onto", "chest", "--striker-mass", "2 kg to 3 kg")
    told = " ".join(out.split())
    for words in (
        "MODELLED: two masses and two springs, onto the chest",
        "Modelled, not measured: two masses and two springs, onto the chest. It takes for granted:",
        "one free mass of 26.7 to 60 kg",
        "an effective mass of 2 to 3 kg, as was said",
        "No band here says what a body bears.",
        "below (over 99\u00a0%)",
        "The area is that on the plate",
    ):
        assert words.replace("\u00a0", " ") in told
    assert not re.search(r"\bsafe", out)


def test_a_typed_strike_is_carried_over_with_its_impulse(result):
    typed = (
        "--force",
        "2400 N",
        "--duration",
        "11 ms",
        "--pad",
        "none",
        "--onto",
        "chest",
        "--speed",
        "8 m/s",
    )
    found = by_model(result("tolerance", *typed, "--impulse", "17 N s"))
    assert set(found) == {"ch-08", "ch-09", "ch-10", "ch-12", "ch-16", "ch-17"}
    assert result("tolerance", *typed, status=2)["error"]["code"] == "no-impulse"
    head = by_model(result("tolerance", *typed[:7], "face", *typed[8:], "--impulse", "17 N s"))
    # without a recorded pulse there is no measure made from one, but two limits need none
    assert {"hk-13", "hk-24"} <= set(head)
    assert not {"hk-04", "hk-10", "hk-28", "hk-29"} & set(head)


def test_a_push_is_set_beside_nothing(result, command):
    typed = ("--force", "2400 N", "--duration", "40 ms", "--impulse", "50 N s", "--pad", "none")
    onto = ("--onto", "chest", "--speed", "5 m/s")
    found = result("tolerance", *typed, *onto)
    assert by_model(found) == {}
    (modelled,) = found["cases"][0]["modelled"]
    assert "lasts 40 ms" in modelled["refused"]
    _, out, _ = command("tolerance", *typed, *onto)
    assert "Set beside nothing" in out


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("--force", "3 kN", "--speed", "8 m/s"), "no-part"),
        (("--onto", "face"), "no-strike"),
        (("--force", "3 kN", "--onto", "nose"), "unknown-part"),
        (("--force", "3 kN", "--onto", "face", "--impulse", "9 N s"), "no-duration"),
    ],
)
def test_what_cannot_be_carried_over(result, arguments, code):
    assert result("tolerance", *arguments, status=2)["error"]["code"] == code


def test_a_technique_that_the_study_does_not_hold(result, club):
    error = result("tolerance", club, "--onto", "face", "--technique", "hook", status=2)["error"]
    assert error["code"] == "unknown-technique"
