"""What belongs together in a study, and what stands alone."""

from __future__ import annotations

from dataclasses import replace

from tameshi.study import Companion, pairing_of
from tests.study.test_contact import contact_print, recording


def codes(found):
    return [one.code for one in found.alone]


def named(pair, **said):
    file, outcome = pair
    return replace(file, description=replace(file.description, **said)), outcome


def evening(**said):
    return named(recording("evening.csv", [2400.0, 2500.0, 2600.0]), session="3 May", **said)


def test_a_strike_has_its_print_its_athlete_and_its_session():
    found = pairing_of([evening()], [contact_print("p.png", 12e-4, 2)])
    (second,) = (one for one in found.strikes if one.strike == 2)
    assert (second.recording, second.athlete, second.session) == ("evening.csv", "K1", "3 May")
    assert second.prints == ("p.png",)
    assert second.clips == ()


def test_strikes_without_a_print_are_listed_a_recording_a_line():
    found = pairing_of([evening()], [contact_print("p.png", 12e-4, 2)])
    (alone,) = found.alone
    assert (alone.code, alone.strikes) == ("strike-without-print", (1, 3))
    assert alone.words == "evening.csv: strikes 1, 3 are without a print of their own."


def test_everything_paired_leaves_nothing_alone():
    prints = [contact_print(f"p{n}.png", 12e-4, n) for n in (1, 2, 3)]
    assert pairing_of([evening()], prints).alone == ()


def test_a_print_without_a_strike_stands_for_its_technique():
    prints = [contact_print(f"p{n}.png", 12e-4, n) for n in (1, 2, 3)]
    found = pairing_of([evening()], [*prints, contact_print("typical.png", 12e-4, technique="palm heel")])
    (alone,) = found.alone
    assert alone.code == "print-without-strike"
    assert "stands for palm heel" in alone.words


def test_a_print_of_a_strike_that_is_not_there_is_told():
    found = pairing_of([evening()], [contact_print("p.png", 12e-4, 9)])
    assert "unknown-strike" in codes(found)
    astray = pairing_of([], [contact_print("p.png", 12e-4, 1)])
    (alone,) = astray.alone
    assert "a recording that is not in the study" in alone.words


def test_two_prints_of_one_strike_are_told():
    prints = [contact_print(f"p{n}.png", 12e-4, n) for n in (1, 2, 3)]
    found = pairing_of([evening()], [*prints, contact_print("again.png", 13e-4, 1)])
    (alone,) = found.alone
    assert (alone.code, alone.strikes) == ("several-prints", (1,))
    assert "p1.png, again.png" in alone.words


def test_a_print_that_says_otherwise_than_its_recording_is_told():
    prints = [contact_print(f"p{n}.png", 12e-4, n) for n in (1, 2)]
    found = pairing_of([evening()], [*prints, contact_print("p3.png", 12e-4, 3, athlete="K9")])
    (alone,) = found.alone
    assert alone.code == "says-otherwise"
    assert "K9" in alone.words
    assert "K1" in alone.words


def test_what_a_recording_does_not_name_is_told():
    found = pairing_of(
        [recording("bare.csv", [2400.0], athlete=None)], [contact_print("p.png", 12e-4, 1, of="sha-bare.csv")]
    )
    assert codes(found) == ["no-athlete", "no-session"]


def test_clips_are_paired_and_missed_where_a_study_has_any():
    prints = [contact_print(f"p{n}.png", 12e-4, n) for n in (1, 2, 3)]
    clips = [
        Companion(name="first.mp4", recording="sha-evening.csv", strike=1),
        Companion(name="loose.mp4", technique="palm heel"),
    ]
    found = pairing_of([evening()], prints, clips)
    assert found.strikes[0].clips == ("first.mp4",)
    assert codes(found) == ["strike-without-clip", "clip-without-strike"]
