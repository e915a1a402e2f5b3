"""Target files: what is read, what is asked for, what is refused."""

from __future__ import annotations

import pytest

from tameshi.errors import TameshiError, UnmeasurableError, WrongUseError
from tameshi.target.breaking import is_target_file, material_of, parse_target, predict
from tests.rig.rigs import RIG
from tests.target.breaking.targets import BOARD, DISC, PLATE, TILE, target


def refused(text: str) -> TameshiError:
    with pytest.raises(TameshiError) as caught:
        predict(parse_target(text))
    return caught.value


def test_every_quantity_comes_in_si() -> None:
    board = target(BOARD, more='[stack]\ncount = 3\nbetween = "spaced"\n')
    assert (board.size.thickness, board.size.width, board.support.span) == (0.019, 0.30, 0.28)
    assert (board.stack.count, board.stack.between) == (3, "spaced")
    assert board.wood is not None
    assert board.wood.grain == "across"
    inches = target(BOARD, ('"19 mm"', '"0.75 in"'))
    assert inches.size.thickness == pytest.approx(0.01905)


def test_a_board_without_its_grain_is_refused_with_the_question() -> None:
    error = refused(BOARD.replace('grain = "across"', ""))
    assert error.code == "grain-missing"
    assert "?" in error.message
    assert 'grain = "across"' in error.hint


@pytest.mark.parametrize("name", ["glass", "window glass", "Mirror", "bottle"])
def test_glass_is_refused_with_the_reason(name: str) -> None:
    with pytest.raises(UnmeasurableError, match="blades") as caught:
        parse_target(TILE.replace("fired clay", name))
    assert caught.value.code == "glass"


def test_glass_is_refused_before_anything_else_is_asked() -> None:
    assert refused('material = "glass"').code == "glass"


@pytest.mark.parametrize(
    "tested",
    [
        'modulus_of_rupture = "59 MPa"\ndirection = "along"',
        'modulus_of_rupture = "59 MPa"\ndirection = "across"',  # nobody's pine bears that across its grain
    ],
)
def test_strength_along_the_grain_is_refused_for_a_board_that_splits_along_it(tested: str) -> None:
    error = refused(f"{BOARD}[tested]\n{tested}\n")
    assert error.code == "strength-along-grain"
    assert isinstance(error, WrongUseError)


def test_strength_across_the_grain_is_refused_where_fibres_have_to_break() -> None:
    text = (
        BOARD.replace('"across"', '"along"')
        + '[tested]\nmodulus_of_rupture = "4 MPa"\ndirection = "across"\n'
    )
    assert refused(text).code == "strength-across-grain"


def test_a_strength_of_wood_has_to_say_its_direction() -> None:
    error = refused(BOARD + '[tested]\nmodulus_of_rupture = "4 MPa"\n')
    assert error.code == "strength-direction-missing"
    assert "?" in error.message


def test_own_tests_take_the_place_of_the_table() -> None:
    board = target(BOARD, more='[tested]\nbreaking_force = "700 N"\nscatter = "10 %"\n')
    needs = predict(board).needs
    assert needs.static_force.value == pytest.approx(700.0, rel=0.01)
    assert set(needs.static_force.budget) >= {"piece to piece"}
    assert "strength" not in needs.static_force.budget


def test_a_species_without_strength_across_the_grain_asks_for_a_test() -> None:
    assert refused(BOARD.replace("eastern white pine", "redwood")).code == "strength-unknown"
    own = '[tested]\nbreaking_force = "700 N"\n'
    assert refused(BOARD.replace("eastern white pine", "redwood") + own).code == "stiffness-unknown"
    own += 'elastic_modulus = "0.4 GPa"\n'
    assert predict(target(BOARD, ("eastern white pine", "redwood"), more=own)).needs.mass.value > 0.0


@pytest.mark.parametrize(("moisture", "code"), [("2 %", "wrong-moisture"), ("60 %", "wrong-moisture")])
def test_moisture_beyond_the_tables_is_refused(moisture: str, code: str) -> None:
    assert (
        refused(BOARD.replace('grain = "across"', f'grain = "across"\nmoisture = "{moisture}"')).code == code
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (BOARD.replace('"19 mm"', "19"), "no unit"),
        (BOARD.replace('"19 mm"', '"19 kg"'), "not a length"),
        (BOARD.replace('"19 mm"', '"0 mm"'), "above zero"),
        (BOARD.replace("thickness", "thikness"), "did you mean 'thickness'"),
        (BOARD.replace('"two edges"', '"nails"'), "none of two edges"),
        (BOARD.replace('kind = "board"', 'kind = "door"'), "none of board"),
        (BOARD.replace('kind = "board"\n', ""), "kind is missing"),
        (BOARD.replace('span = "28 cm"', ""), "span"),
        (BOARD.replace('width = "30 cm"', ""), "width"),
        (BOARD + "[stack]\ncount = 0\n", "whole number"),
        (BOARD + "[stack]\ncount = true\n", "whole number"),
        (BOARD + "[stack]\ncount = 500\n", "whole number"),
        ("stack = 3\n" + BOARD, "[stack]"),
        (BOARD + '[tested]\nbreaking_force = "1 N"\nmodulus_of_rupture = "1 Pa"\n', "keep one"),
        (BOARD + '[tested]\nbreaking_strength = "900 N"\n', "tiles"),
        (TILE + '[wood]\ngrain = "across"\n', "board"),
        (DISC.replace('"all round"', '"two edges"\nspan = "3 cm"'), "round"),
        (PLATE.replace('length = "40 cm"', ""), "length"),
        (PLATE.replace('"all round"', '"all round"\nspan = "3 cm"'), "two edges only"),
        ("this is no toml", "not a TOML file"),
        ("a = " + "[" * 5000, "not a TOML file"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told(text: str, told: str) -> None:
    error = refused(text)
    assert error.code == "target-file"
    assert told in error.message
    assert error.hint


def test_all_problems_are_told_at_once() -> None:
    error = refused(BOARD.replace('"19 mm"', "19").replace('"28 cm"', "28"))
    assert error.message.count("has no unit") == 2


@pytest.mark.parametrize("how", ["all round", "clamped all round"])
def test_a_board_held_all_round_is_refused(how: str) -> None:
    text = BOARD.replace('"two edges"', f'"{how}"').replace('span = "28 cm"', "")
    assert (
        refused(text.replace('width = "30 cm"', 'width = "30 cm"\nlength = "30 cm"')).code
        == "board-all-round"
    )


@pytest.mark.parametrize("text", [BOARD, TILE])
def test_unknown_materials_are_answered_with_those_known(text: str) -> None:
    said = "eastern white pine" if text is BOARD else "fired clay"
    error = refused(text.replace(said, "unobtainium"))
    assert error.code == "unknown-material"
    assert said in error.hint


def test_a_target_file_is_told_from_a_rig_file() -> None:
    assert is_target_file(BOARD)
    assert not is_target_file(RIG)
    assert not is_target_file("no toml")


def test_every_material_and_species_of_the_tables_can_be_used() -> None:
    from tameshi.reference import table

    for name in table("breaking_materials").rows:
        assert material_of(target(TILE, ("fired clay", name))).sources
    for name, entry in table("wood_species").rows.items():
        grain = "across" if "across" in entry else "along"
        assert material_of(target(BOARD, ("eastern white pine", name), ('"across"', f'"{grain}"'))).sources


@pytest.mark.parametrize(
    ("size", "told"),
    [
        ('thickness = "19 km"', "1.9e+07 mm is no target's"),
        ('thickness = "1 um"', "no target's"),
        ('thickness = "25 cm"', "that does not bend"),
        ('thickness = "19 mm"\nthickness_tolerance = "0.5 mm"\nlength = "30 m"', "a length of 3e+04 mm"),
    ],
)
def test_a_size_that_is_no_targets_is_refused_with_the_size_that_would_be(size: str, told: str) -> None:
    text = BOARD.replace('span = "28 cm"', 'span = "24 cm"').replace('thickness = "19 mm"', size)
    with pytest.raises(WrongUseError) as caught:
        parse_target(text, where="board.toml")
    assert caught.value.code == "wrong-size"
    assert told in caught.value.message
    assert "unit" in caught.value.hint


def test_a_rig_file_is_told_from_a_target() -> None:
    error = refused(RIG)
    assert error.code == "not-a-target"
    assert "rig" in error.message
