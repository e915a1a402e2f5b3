"""Predictions of breaking, kept by their recipe like every other result."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tameshi.demo.pulses import half_sine, together
from tameshi.errors import WrongUseError
from tameshi.study import (
    RecordingDescription,
    Struck,
    Study,
    break_targets,
    check,
    describe,
    measure_all,
    open_study,
    predict_of_study,
    recordings,
    results,
    strike_of_technique,
    targets,
)
from tameshi.target.breaking import Prediction, parse_target, predict, prediction_as_dict
from tests.report.club import AT, RIG, add, as_csv, empty, recording_of, volts
from tests.target.breaking.targets import BOARD


@pytest.fixture
def study(tmp_path: Path) -> Iterator[Study]:
    with empty(tmp_path / "study") as made:
        rig = add(made, RIG.encode(), "post.toml", "rig")
        peaks = [half_sine(2400.0 + 200.0 * n, 0.008, 0.25 + 0.3 * n) for n in range(3)]
        add(made, as_csv(volts(together(peaks))), "palm.csv", "recording", recording_of("palm heel", rig))
        fist = as_csv(volts(half_sine(1500.0, 0.006, 0.3), seed=2))
        add(made, fist, "fist.csv", "recording", recording_of("hammer fist", rig))
        add(made, BOARD.encode(), "board.toml", "target")
        yield made


def broken(study: Study, **said: Any) -> dict[str, Prediction]:
    strikes, _ = measure_all(study, at=AT)
    (one,) = break_targets(study, strikes, at=AT, **said)
    assert one.alone is not None
    found = {each.technique: each.prediction for each in one.techniques}
    return {name: prediction for name, prediction in found.items() if prediction is not None}


def test_what_is_predicted_is_kept_once_with_its_recipe(study: Study) -> None:
    first = broken(study)
    kept = results(study, "breaking")
    assert [one.recipe.settings["technique"] for one in kept].count(None) == 1
    assert {one.recipe.settings["technique"] for one in kept} == {None, "palm heel", "hammer fist"}
    palm = next(one for one in kept if one.recipe.settings["technique"] == "palm heel")
    assert set(palm.recipe.inputs) == {"target", "recording 1"}
    again = broken(study)
    assert results(study, "breaking") == kept
    assert prediction_as_dict(again["palm heel"]) == prediction_as_dict(first["palm heel"])
    assert check(study).is_sound


def test_what_is_kept_says_what_was_worked_out(study: Study) -> None:
    strikes, _ = measure_all(study, at=AT)
    kept = broken(study)["palm heel"]
    worked_out = predict(parse_target(BOARD), strike_of_technique(strikes, "palm heel"))
    said, meant = prediction_as_dict(kept), prediction_as_dict(worked_out)
    assert said == meant
    assert kept.outcome is not None
    assert worked_out.outcome is not None
    assert list(kept.outcome.shares) == list(worked_out.outcome.shares)
    np.testing.assert_allclose(kept.outcome.needed_draws, worked_out.outcome.needed_draws, rtol=1e-6)


def test_a_speed_that_recordings_say_takes_the_place_of_the_assumed_mass(study: Study) -> None:
    before = broken(study)["palm heel"]
    assert "mass-assumed" in {flag.code for flag in before.flags}
    palm = next(one for one in recordings(study) if one.original.name == "palm.csv")
    describe(study, palm.original.sha256, RecordingDescription(speed=6.5))
    count = len(results(study, "breaking"))
    after = broken(study)
    assert "mass-assumed" not in {flag.code for flag in after["palm heel"].flags}
    assert "mass-assumed" in {flag.code for flag in after["hammer fist"].flags}
    assert after["palm heel"].outcome is not None
    assert after["palm heel"].outcome.speed.value == pytest.approx(6.5, rel=0.01)
    assert len(results(study, "breaking")) == count + 1  # the earlier one stays


def test_what_is_typed_goes_before_what_recordings_say(study: Study) -> None:
    palm = next(one for one in recordings(study) if one.original.name == "palm.csv")
    describe(study, palm.original.sha256, RecordingDescription(speed=6.5))
    found = broken(study, said=Struck(speed=4.0), technique="palm heel")
    assert list(found) == ["palm heel"]
    assert found["palm heel"].outcome is not None
    assert found["palm heel"].outcome.speed.value == pytest.approx(4.0, rel=0.01)


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"said": Struck(mass=2.0, speed=5.0)}, "mass-and-speed"),
        ({"said": Struck(mass=-2.0)}, "wrong-mass"),
        ({"technique": "elbow"}, "unknown-technique"),
    ],
)
def test_what_was_typed_wrongly_is_refused(study: Study, said: dict[str, Any], code: str) -> None:
    with pytest.raises(WrongUseError) as caught:
        broken(study, **said)
    assert caught.value.code == code


def test_a_study_that_cannot_be_written_is_predicted_without_keeping(study: Study) -> None:
    folder = study.folder
    measure_all(study, at=AT)
    with open_study(folder, read_only=True) as shut:
        strikes, _ = measure_all(shut, at=AT)
        (target,) = targets(shut)
        assert predict_of_study(shut, target, strikes, "palm heel", at=AT).outcome is not None
        assert results(shut, "breaking") == ()


def test_strikes_through_different_pads_stand_with_the_reason(study: Study) -> None:
    silent = add(study, RIG.replace('pad = "felt, 6 mm"', "").encode(), "silent.toml", "rig")
    more = as_csv(volts(half_sine(2500.0, 0.008, 0.3), seed=5))
    add(study, more, "more.csv", "recording", replace(recording_of("palm heel", silent), speed=6.0))
    strikes, _ = measure_all(study, at=AT)
    (one,) = break_targets(study, strikes, at=AT)
    palm = next(each for each in one.techniques if each.technique == "palm heel")
    assert palm.error is not None
    assert palm.error.code == "pads-differ"
