import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.study.names import LONGEST_FILE_NAME, clean_file_name, extension


@pytest.mark.parametrize(
    ("given_name", "kept"),
    [
        ("evening.csv", "evening.csv"),
        ("/home/somebody/evening.csv", "evening.csv"),
        ("C:\\Data\\evening.csv", "evening.csv"),
        ("../../etc/passwd", "passwd"),
        ("..", "unnamed"),
        ("", "unnamed"),
        ("folder/", "unnamed"),
        ("red\x1b[31m\n.csv", "red_[31m_.csv"),
        ("gpj\u202evsc.exe", "gpj_vsc.exe"),
        ("half\udc80.csv", "half_.csv"),
        ("突き 試し 🥋.csv", "突き 試し 🥋.csv"),
        ("n" * 200 + ".csv", "n" * 115 + "….csv"),
    ],
)
def test_a_name_from_outside_is_shown_and_nothing_else(given_name, kept):
    assert clean_file_name(given_name) == kept


@given(st.text(alphabet=st.characters(codec=None), max_size=300))
def test_every_name_becomes_one_short_line_without_a_path(name):
    kept = clean_file_name(name)
    assert 1 <= len(kept) <= LONGEST_FILE_NAME
    assert not {"/", "\\"} & set(kept)
    assert len(kept.splitlines()) == 1
    assert kept not in {".", ".."}
    kept.encode()


@given(st.text(alphabet=st.characters(codec=None), max_size=300))
def test_cleaning_twice_is_cleaning_once(name):
    assert clean_file_name(clean_file_name(name)) == clean_file_name(name)


@given(st.text(max_size=200))
def test_an_ending_is_plain_or_absent(name):
    ending = extension(clean_file_name(name))
    assert ending == "" or (ending[0] == "." and ending[1:].isascii() and ending[1:].isalnum())


@pytest.mark.parametrize(
    ("name", "ending"),
    [("a.CSV", ".csv"), ("a.tar.gz", ".gz"), (".csv", ""), ("a", ""), ("a.c sv", ""), ("a.csvcsvcsv", "")],
)
def test_endings_are_lower_case(name, ending):
    assert extension(name) == ending
