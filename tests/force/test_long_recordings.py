"""Recordings longer than is looked at in one piece: found stretch by stretch, in bounded memory."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import half_sine, haversine
from tameshi.force import Origin, Reduction, Trace, reduce_trace
from tameshi.rig import conversion_by_scale
from tests.force.scenes import Force, codes, reduced_newtons
from tests.known import known

NEWTONS = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
LONGEST = 5.0  # s, of any force here


def newtons(
    forces: list[tuple[Force, float]], duration: float, rate: float, around: Surroundings, seed: int = 3
) -> NDArray[np.float64]:
    """Return a recording of forces in newtons, with noise, hum and drift."""
    clock = np.arange(round(duration * rate)) / rate
    rng = np.random.default_rng(seed)
    hum = around.hum * np.sin(2.0 * np.pi * around.hum_frequency * clock + 1.0)
    drift = around.drift * np.sin(2.0 * np.pi * clock / 60.0)
    force = np.zeros(len(clock))
    for one, start in forces:
        near = slice(max(0, round((start - 0.01) * rate)), round((start + LONGEST) * rate))
        force[near] += one(clock[near])
    return force + hum + drift + around.offset + rng.normal(0.0, around.noise, len(clock))


def at_time(peak: float, length: float, start: float) -> tuple[Force, float]:
    return half_sine(peak, length, start), start


def at(reduction: Reduction) -> list[float]:
    return [strike.onset for strike in reduction.strikes]


@pytest.mark.parametrize("rate", [1000.0, 2000.0, 10_000.0])
@pytest.mark.parametrize(
    "around",
    [
        Surroundings(noise=2.0, offset=150.0),
        Surroundings(noise=0.5, hum=20.0, hum_frequency=50.04, drift=40.0),
        Surroundings(noise=8.0, hum=5.0, hum_frequency=60.0, drift=10.0),
    ],
    ids=["quiet", "hum", "noisy"],
)
def test_every_strike_of_four_minutes_is_found_and_none_besides(rate: float, around: Surroundings):
    rng = np.random.default_rng(7)
    times = np.cumsum(rng.uniform(0.4, 14.0, 30))
    times = times[times < 238.0]
    forces: list[tuple[Force, float]] = []
    for start in times.tolist():
        peak = max(12.0 * around.noise, float(np.exp(rng.uniform(np.log(40.0), np.log(4000.0)))))
        shape = half_sine if rng.random() < 0.5 else haversine
        forces.append((shape(peak, max(0.006, 8.0 / rate), start), start))
    found = reduced_newtons(newtons(forces, 240.0, rate, around), rate)
    assert np.array(at(found)) == pytest.approx(times, abs=0.004)


def test_a_strike_is_measured_the_same_in_a_long_and_in_a_short_recording():
    around = Surroundings(noise=3.0, hum=4.0, drift=20.0)
    forces = [at_time(700.0 + 40.0 * place, 0.012, 5.0 + 12.0 * place) for place in range(12)]
    samples = newtons(forces, 150.0, 5000.0, around)
    whole = reduced_newtons(samples, 5000.0)
    assert len(whole.strikes) == 12
    for place, strike in enumerate(whole.strikes):
        start = round((2.0 + 12.0 * place) * 5000.0)
        short = reduced_newtons(samples[start : start + 30_000], 5000.0).strikes[0]
        for name in ("peak_force", "impulse", "contact_duration", "rise_time"):
            here, there = known(strike.figure(name)), known(short.figure(name))
            assert here.value == pytest.approx(there.value, abs=0.1 * there.u)
            assert here.u == pytest.approx(there.u, rel=0.1)
        assert strike.onset == pytest.approx(short.onset + start / 5000.0, abs=2e-5)


def test_strikes_without_a_pause_are_looked_at_in_parts():
    times = np.arange(0.5, 118.0, 0.45)
    forces = [at_time(900.0, 0.012, start) for start in times.tolist()]
    found = reduced_newtons(newtons(forces, 119.0, 5000.0, Surroundings(noise=3.0)), 5000.0)
    assert np.array(at(found)) == pytest.approx(times, abs=0.001)
    assert [strike.index for strike in found.strikes] == list(range(1, len(times) + 1))


@pytest.mark.parametrize("length", [0.4, 2.0, 4.0])
def test_a_long_push_stays_one(length: float):
    def push(clock: NDArray[np.float64]) -> NDArray[np.float64]:
        edge = np.clip((clock - 40.0) / 0.02, 0.0, 1.0) * np.clip((40.0 + length - clock) / 0.02, 0.0, 1.0)
        return np.asarray(400.0 * edge)

    found = reduced_newtons(newtons([(push, 40.0)], 90.0, 2000.0, Surroundings(noise=2.0)), 2000.0)
    (strike,) = found.strikes
    assert known(strike.contact_duration).value == pytest.approx(length - 0.002, abs=0.01)
    assert known(strike.impulse).value == pytest.approx(400.0 * (length - 0.02), rel=0.01)


def test_a_long_quiet_recording_holds_no_strike():
    found = reduced_newtons(newtons([], 300.0, 10_000.0, Surroundings(noise=2.0)), 10_000.0)
    assert not found.strikes
    assert "no-strike" in codes(found.flags)
    assert found.noise == pytest.approx(2.0, rel=0.05)


def test_lost_samples_in_a_long_recording_are_no_strikes():
    forces = [at_time(800.0, 0.01, 30.0), at_time(800.0, 0.01, 95.0)]
    samples = newtons(forces, 120.0, 5000.0, Surroundings(noise=2.0))
    samples[round(40.0 * 5000) : round(55.0 * 5000)] = np.nan
    samples[round(70.0 * 5000) + np.arange(0, 5000, 7)] = np.inf
    found = reduced_newtons(samples, 5000.0)
    assert at(found) == pytest.approx([30.0, 95.0], abs=0.002)


def test_a_recording_mapped_from_a_file_gives_the_same(tmp_path: Path):
    forces = [at_time(800.0, 0.01, 20.0), at_time(300.0, 0.01, 70.0)]
    samples = newtons(forces, 90.0, 5000.0, Surroundings(noise=2.0)).astype(np.float32)
    np.save(tmp_path / "long.npy", samples)
    mapped = np.load(tmp_path / "long.npy", mmap_mode="r")
    found = reduce_trace(Trace(mapped, 5000.0, "N", Origin("long.npy", "0" * 64)), NEWTONS)
    held = reduce_trace(Trace(samples.astype(np.float64), 5000.0, "N", Origin("long.npy", "0" * 64)), NEWTONS)
    for one, other in zip(found.strikes, held.strikes, strict=True):
        assert known(one.impulse).value == pytest.approx(known(other.impulse).value, rel=1e-6)
        assert known(one.peak_force).value == pytest.approx(known(other.peak_force).value, rel=1e-6)


def test_memory_does_not_grow_with_the_recording(tmp_path: Path):
    rate, minutes = 50_000.0, 8
    mapped = np.lib.format.open_memmap(
        tmp_path / "long.npy", mode="w+", dtype=np.float32, shape=(round(minutes * 60 * rate),)
    )
    minute = newtons([at_time(800.0, 0.01, 30.0)], 60.0, rate, Surroundings(noise=2.0))
    for place in range(minutes):
        mapped[place * len(minute) : (place + 1) * len(minute)] = minute
    tracemalloc.start()
    try:
        found = reduce_trace(Trace(mapped, rate, "N", Origin("long.npy", "0" * 64)), NEWTONS)
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert len(found.strikes) == minutes
    assert most < 0.25 * mapped.nbytes
