"""Transfers read back, and what they take for granted."""

import json

import numpy as np
import pytest

from tameshi.target.transfer import (
    SHARES,
    Pad,
    Range,
    Striker,
    Transfer,
    assumptions,
    body_part,
    transfer,
    transfer_as_dict,
    transfer_from_record,
    transfer_to_record,
)
from tests.target.transfer.blows import SPEED, figure, recorded

SAID = (
    Striker(speed=Range(0.95 * SPEED, 1.05 * SPEED)),
    Striker(mass=figure(2.5, "kg", 0.05)),
    Striker(mass=Range(2.0, 3.0), speed=Range(6.0, 10.0)),
    Striker(published="punch"),
    Striker(),
)


def onto(part: str, striker: Striker, pad: Pad | None = None) -> Transfer:
    generator = np.random.default_rng(2)
    return transfer(recorded(pad=pad), body_part(part), striker, generator=generator, draws=800)


@pytest.mark.parametrize("striker", SAID, ids=["speed", "mass", "both", "published", "nothing"])
@pytest.mark.parametrize(
    "pad", [None, Pad("foam"), Pad("foam", Range(2e5, 4e5))], ids=["bare", "pad", "known"]
)
@pytest.mark.parametrize("part", ["forehead", "chest"])
def test_what_was_stored_is_read_back(part: str, pad: Pad | None, striker: Striker) -> None:
    found = onto(part, striker, pad)
    stored = json.loads(json.dumps(transfer_to_record(found)))
    assert transfer_as_dict(transfer_from_record(stored)) == transfer_as_dict(found)


def test_a_band_keeps_its_quantiles() -> None:
    arrival = transfer_from_record(transfer_to_record(onto("face", SAID[0]))).arrival
    assert arrival is not None
    known = dict(zip(SHARES, arrival.peak_force.quantiles, strict=True))
    band = arrival.peak_force
    assert (known[0.025], known[0.5], known[0.975]) == pytest.approx((band.low, band.median, band.high))
    assert list(known.values()) == sorted(known.values())


def test_the_mean_acceleration_lies_below_the_greatest() -> None:
    found = onto("face", SAID[0])
    assert found.arrival is not None
    pairs = zip(found.arrival.mean_acceleration.quantiles, found.arrival.acceleration.quantiles, strict=True)
    # derived: the pulse keeps its shape, so each quantile is the shape times the other
    assert all(mean == pytest.approx(found.blow.shape * top, rel=1e-9) for mean, top in pairs)


def test_every_assumption_is_told() -> None:
    told = " ".join(assumptions(onto("forehead", SAID[0])))
    wanted = (
        "4.4 to 6.3 kg",
        "75 to 300 N/mm",
        "467 to 5870 N/mm",
        "ISO/TS 15066:2016, table A.3",
        "drawn equally often",
        "7.6 to 8.4 m/s at contact, as was said",
        "Hunt and Crossley",
        "The plate was bare",
    )
    for words in wanted:
        assert words in told
    assert "lower bounds" in " ".join(assumptions(onto("chest", SAID[1], Pad("foam"))))
    assert "Nothing is known of the striker" in " ".join(assumptions(onto("chest", SAID[4])))
    assert "seven Olympic boxers" in " ".join(assumptions(onto("chest", SAID[3])))


def test_a_striker_faster_than_any_published_strike_is_flagged() -> None:
    light = onto("face", Striker(mass=Range(0.5, 0.6)))
    assert "striker-too-fast" in {flag.code for flag in light.flags}
    assert "striker-too-fast" not in {flag.code for flag in onto("face", SAID[1]).flags}
