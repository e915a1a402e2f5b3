"""The section of a report on strikes against each other, and what belongs together."""

from __future__ import annotations

import re

import numpy as np
import pytest

from tameshi.demo.pulses import half_sine, together
from tameshi.report import make_report, to_html
from tests.report.club import AT, RIG, add, as_csv, empty, recording_of, volts


@pytest.fixture(scope="module")
def evenings(tmp_path_factory):
    """Two techniques of three athletes: each struck both ways in one session."""
    generator = np.random.default_rng(1)
    folder = tmp_path_factory.mktemp("evenings") / "study"
    with empty(folder, name="Quarry Lane, three of them") as study:
        rig = add(study, RIG.encode(), "post.toml", "rig")
        for who, level in (("K1", 2400.0), ("K2", 2900.0), ("K3", 2000.0)):
            for technique, more in (("palm heel", 1.0), ("hammer fist", 1.3)):
                peaks = level * more * np.exp(generator.normal(0.0, 0.04, 4))
                pulses = [half_sine(float(peak), 0.009, 0.3 + 0.4 * n) for n, peak in enumerate(peaks)]
                data = as_csv(volts(together(pulses), duration=2.0, seed=len(technique)))
                said = recording_of(technique, rig, athlete=who)
                add(study, data, f"{technique.replace(' ', '-')}-{who}.csv", "recording", said)
        yield make_report(study, at=AT)


def test_a_difference_between_techniques_reaches_to_athletes_like_these(evenings):
    first = evenings.comparison.compared[0]
    assert first.title == "Peak force by technique"
    (pair,) = first.pairs
    assert pair.claim.strength == "clear"
    assert any("athletes like these 3" in limit for limit in pair.claim.limits)
    assert [row.counts for row in first.groups] == ["12 strikes, 3 athletes, 3 sessions"] * 2


def test_athletes_are_compared_too_and_the_plan_counts_them(evenings):
    titles = [one.title for one in evenings.comparison.compared]
    assert "Peak force by athlete" in titles
    assert "Peak force by pad" not in titles
    (plan,) = evenings.comparison.compared[0].plans
    assert "strikes each" in plan.athletes


def test_what_strikes_differ_by_and_what_nothing_says_is_told(evenings):
    said = " ".join(evenings.comparison.compared[0].remarks)
    assert "mixed model" in said
    assert "Means hold for athletes like these 3" in said
    assert any("no better strike" in words for words in evenings.comparison.not_said)


def test_the_page_holds_the_section_and_what_is_unpaired(evenings):
    page = to_html(evenings)
    assert page.count('<h2 id="comparison">') == 1
    assert "without a print of their own" in page
    words = re.sub(r"<[^>]+>", " ", page)
    assert "athletes like these 3" in words


def test_each_session_has_its_timeline(evenings):
    assert len(evenings.comparison.timelines) == 3


def test_a_study_of_one_strike_compares_nothing(tmp_path):
    with empty(tmp_path / "one") as study:
        rig = add(study, RIG.encode(), "post.toml", "rig")
        add(
            study,
            as_csv(volts(half_sine(2400.0, 0.01, 0.4))),
            "a.csv",
            "recording",
            recording_of("knee", rig),
        )
        report = make_report(study, at=AT)
    assert report.comparison is None
    assert report.pairing is not None
    assert 'id="comparison"' not in to_html(report)
