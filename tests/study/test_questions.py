"""Questions of transfer kept with a study: replaced, taken back, and in catalogues that are older."""

import sqlite3
import zipfile

import pytest

from tameshi.errors import StudyError, WrongUseError
from tameshi.study import (
    Study,
    TransferQuestion,
    check,
    export,
    forget_question,
    keep_question,
    open_study,
    questions,
)
from tameshi.target.transfer import Range
from tests.study.samples import fill

FACE = TransferQuestion(part="face", technique="jab", mass=Range(2.0, 3.0), like="punch")
CHEST = TransferQuestion(part="Chest", speed=Range(7.5, 7.5), pad="foam", pad_stiffness=Range(4e4, 8e4))


def forget_the_table(study: Study) -> None:
    with sqlite3.connect(study.folder / "catalogue.sqlite") as connection:
        connection.execute("DROP TABLE transfer_question")
    connection.close()


def test_what_is_kept_comes_back(study):
    assert questions(study) == ()
    assert (keep_question(study, FACE), keep_question(study, CHEST)) == ("kept", "kept")
    assert questions(study) == (CHEST, FACE)
    assert CHEST.part == "chest"


def test_the_same_part_and_technique_is_one_question(study):
    keep_question(study, FACE)
    assert keep_question(study, FACE) == "already there"
    faster = TransferQuestion(part="face", technique="jab", speed=Range(8.0, 9.0))
    assert keep_question(study, faster) == "replaced"
    assert questions(study) == (faster,)
    keep_question(study, TransferQuestion(part="face"))
    assert len(questions(study)) == 2


def test_a_question_is_taken_back(study):
    keep_question(study, FACE)
    with pytest.raises(WrongUseError, match="Nothing is kept about the face and every technique"):
        forget_question(study, "face", None)
    forget_question(study, "face", "jab")
    assert questions(study) == ()


def test_an_unknown_part_is_refused():
    with pytest.raises(WrongUseError, match="no part 'nose'"):
        TransferQuestion(part="nose")


def test_an_older_catalogue_gets_the_table(study):
    fill(study)
    forget_the_table(study)
    with open_study(study.folder) as again:
        assert questions(again) == ()
        assert keep_question(again, FACE) == "kept"
        assert check(again).is_sound


def test_an_older_catalogue_that_may_not_be_written_counts_as_empty(study, tmp_path):
    fill(study)
    forget_the_table(study)
    with open_study(study.folder, read_only=True) as again:
        assert questions(again) == ()
        with pytest.raises(StudyError, match="reading only"):
            keep_question(again, FACE)
        export(again, tmp_path / "club.zip")
    with zipfile.ZipFile(tmp_path / "club.zip") as archive:
        assert "catalogue/transfer_question.jsonl" not in archive.namelist()


def test_an_export_hands_the_questions_on(study, tmp_path):
    keep_question(study, FACE)
    export(study, tmp_path / "club.zip")
    with zipfile.ZipFile(tmp_path / "club.zip") as archive:
        assert b'"part":"face"' in archive.read("catalogue/transfer_question.jsonl")
        assert b"transfer_question.jsonl,mass_low,kg" in archive.read("dictionary.csv")
