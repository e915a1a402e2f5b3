"""Every line of a rig check against brute force: the pulse sent through the simulated chain, twenty rigs.

Nothing of the planning code takes part in the other side: the pulse is written down anew here, the chain is
that of the demo (exact steps of a second-order system, real converter codes), figures are read off samples.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.chain import Surroundings, record, second_order
from tameshi.reference import row
from tameshi.rig import Amplifier, Cell, Converter, ExpectedStrike, Limit, Rig, check_rig, expected_strike

FloatArray = NDArray[np.float64]
START, FINE = 0.02, 2e6  # s, Hz
DRAWS = 800
TOLERANCES = ("rated-output", "excitation", "gain", "mounting")
SHAPES = ("linearity", "hysteresis", "repeatability")


@dataclass(frozen=True)
class Planned:
    """A rig and the strike it is planned for."""

    rig: Rig
    peak: float
    duration: float
    rising: float

    @property
    def strike(self) -> ExpectedStrike:
        rise = 2.0 / math.pi * (math.asin(0.9) - math.asin(0.1)) * self.rising
        return expected_strike(f"{self.peak!r} N", f"{self.duration!r} s", f"{rise!r} s")

    @property
    def told(self) -> dict[str, Limit]:
        return {limit.name: limit for limit in check_rig(self.rig, self.strike).limits}

    def force(self, time: FloatArray) -> FloatArray:
        """Return the pulse: a quarter of a sine up, a quarter of another down."""
        t = time - START
        falling = self.duration - self.rising
        up = np.sin(0.5 * math.pi * np.clip(t / self.rising, 0.0, 1.0))
        down = np.cos(0.5 * math.pi * np.clip((t - self.rising) / falling, 0.0, 1.0))
        return np.asarray(self.peak * np.where(t < self.rising, up, down) * ((t > 0.0) & (t < self.duration)))


def planned(seed: int) -> Planned:
    rng = np.random.default_rng(seed)
    duration = float(np.exp(rng.uniform(math.log(0.004), math.log(0.02))))
    peak = float(np.exp(rng.uniform(math.log(300.0), math.log(6000.0))))
    rig = Rig(
        name="planned",
        identity=f"{seed}",
        cell=Cell(
            capacity=peak * float(rng.uniform(0.8, 3.0)),
            rated_output=2e-3,
            natural_frequency=float(np.exp(rng.uniform(math.log(2.0), math.log(40.0)))) / duration,
            damping_ratio=float(rng.uniform(0.005, 0.1)),
        ),
        amplifier=Amplifier(
            excitation=5.0,
            gain=float(rng.uniform(300.0, 1400.0)),
            low_pass=float(np.exp(rng.uniform(math.log(2.0), math.log(60.0)))) / duration,
        ),
        converter=Converter(
            rate=float(np.exp(rng.uniform(math.log(12.0), math.log(300.0)))) / duration,
            bits=int(rng.integers(8, 17)),
            span=(-5.0, 5.0),
            noise=float(np.exp(rng.uniform(math.log(1e-4), math.log(3e-3)))) * 5.0,
        ),
    )
    return Planned(rig, peak, duration, duration * float(rng.uniform(0.25, 0.6)))


def figures(time: FloatArray, force: FloatArray, until: float) -> tuple[float, float, float]:
    """Return peak, 10-90 % rise and impulse up to a time."""
    top = int(np.argmax(force))
    peak = float(force[top])
    edges = []
    for level in (0.1 * peak, 0.9 * peak):
        after = int(np.argmax(force >= level))
        share = (level - force[after - 1]) / (force[after] - force[after - 1])
        edges.append(time[after - 1] + share * (time[after] - time[after - 1]))
    return peak, float(edges[1] - edges[0]), float(np.trapezoid(force[time <= until], time[time <= until]))


def errors(got: tuple[float, float, float], true: tuple[float, float, float]) -> FloatArray:
    return np.array([one / other - 1.0 for one, other in zip(got, true, strict=True)])


def as_told(limit: Limit) -> FloatArray:
    assert limit.effect is not None
    return np.array([limit.effect.peak, limit.effect.rise, limit.effect.impulse])


@pytest.fixture(params=range(20))
def case(request: pytest.FixtureRequest) -> Planned:
    return planned(request.param)


def whole(case: Planned, after: float) -> tuple[FloatArray, FloatArray, tuple[float, float, float]]:
    """Return fine times, the force at them, and its figures; ``after`` s beyond the contact."""
    time = np.arange(round((START + case.duration + after) * FINE)) / FINE
    force = case.force(time)
    return time, force, figures(time, force, time[-1])


def sampled(case: Planned, phase: float) -> tuple[FloatArray, FloatArray]:
    """Return the times and the force of samples at the rig's rate."""
    rate = case.rig.converter.rate
    count = round((START + 1.2 * case.duration) * rate)
    time = (np.arange(count, dtype=np.float64) + phase) / rate
    return time, case.force(time)


def test_cell_and_low_pass(case):
    cell, corner = case.rig.cell, case.rig.amplifier.low_pass
    assert cell.natural_frequency is not None
    assert cell.damping_ratio is not None
    assert corner is not None
    ring_out = 12.0 / (cell.damping_ratio * 2.0 * math.pi * cell.natural_frequency)
    time, force, true = whole(case, ring_out)
    told = case.told
    for name, frequency, damping in (
        ("natural frequency", cell.natural_frequency, cell.damping_ratio),
        ("anti-alias filter", corner, math.sqrt(0.5)),
    ):
        passed = figures(time, second_order(force, FINE, frequency, damping), time[-1])
        found, expected = as_told(told[name]), errors(passed, true)
        assert found[:2] == pytest.approx(expected[:2], abs=2e-5), name
        # all of the impulse comes through in the end; what is told stops after a cycle of ringing
        assert abs(expected[2]) < 1e-6
        assert abs(found[2]) < (0.0005 if frequency * case.duration >= 5.0 else 0.006), name


def test_ends_of_capacity_and_of_range(case):
    time, force, true = whole(case, 0.0)
    cut = figures(time, np.minimum(force, case.rig.cell.capacity), time[-1])
    assert as_told(case.told["cell capacity"]) == pytest.approx(errors(cut, true), abs=2e-5)
    bare = replace(
        case.rig,
        cell=replace(case.rig.cell, natural_frequency=None, damping_ratio=None),
        amplifier=replace(case.rig.amplifier, low_pass=None),
        converter=replace(case.rig.converter, rate=FINE / 4.0, bits=24),
    )
    volts = record(case.force, START + case.duration, bare, Surroundings(), np.random.default_rng(1))
    seen = volts / bare.rated_sensitivity
    cut = figures(time[::4][: len(seen)], seen, time[-1])
    assert as_told(case.told["converter range"]) == pytest.approx(errors(cut, true), abs=1e-4)


def test_worst_phase_of_sampling(case):
    _, _, true = whole(case, 0.0)
    phases = (np.arange(200) + 0.5) / 200.0
    found = [errors(figures(*sampled(case, phase), 1.0), true) for phase in phases]
    worst = np.max(np.abs(found), axis=0)
    assert as_told(case.told["sampling"]) == pytest.approx(worst, rel=0.03, abs=2e-5)


def spread(case: Planned, disturbed: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Return the standard deviations of peak, rise and impulse, relative, over many disturbed recordings."""
    rng, found = np.random.default_rng(2), []
    _, _, true = whole(case, 0.0)
    step = 1.0 / case.rig.converter.rate
    for _ in range(DRAWS):
        time, force = sampled(case, float(rng.random()))
        top, contact = int(np.argmax(force)), (time > START) & (time < START + case.duration)
        seen = disturbed(force)
        rises = []
        for one in (force, seen):
            at = [int(np.argmax(one >= level * one[top])) for level in (0.1, 0.9)]
            levels = (0.1 * one[top], 0.9 * one[top])
            edges = [
                k - (one[k] - level) / (one[k] - one[k - 1]) for k, level in zip(at, levels, strict=True)
            ]
            rises.append((edges[1] - edges[0]) * step)
        difference = seen - force
        found.append(
            [
                difference[top] / true[0],
                (rises[1] - rises[0]) / true[1],
                difference[contact].sum() * step / true[2],
            ]
        )
    return np.asarray(np.std(found, axis=0))


def test_scatter_by_noise(case):
    noise = case.rig.converter.noise
    assert noise is not None
    newtons, rng = noise / case.rig.rated_sensitivity, np.random.default_rng(3)
    found = spread(case, lambda force: force + rng.normal(0.0, newtons, len(force)))
    told = as_told(case.told["noise"])
    # 800 draws know a standard deviation to 2.5 %; few samples on the rise bend the crossing a little
    assert told == pytest.approx(found, rel=0.25)
    assert told[[0, 2]] == pytest.approx(found[[0, 2]], rel=0.10)


@pytest.mark.parametrize("steps_of_noise", [0.0, 1.0])
def test_scatter_by_steps_of_the_converter(case, steps_of_noise):
    rig = case.rig
    rig = replace(rig, converter=replace(rig.converter, noise=steps_of_noise * rig.converter.step))
    case, rng = replace(case, rig=rig), np.random.default_rng(4)
    newtons = rig.converter.step / rig.rated_sensitivity

    def stepped(force: FloatArray) -> FloatArray:
        zero = rng.uniform(0.0, 1.0)
        dither = rng.normal(0.0, steps_of_noise, len(force)) if steps_of_noise else np.zeros(len(force))
        exact = force / newtons + zero + dither
        codes = np.round(exact)
        # zeroed on a long stretch before contact: without noise it is as far off as its own code
        level = float(np.round(zero)) if not steps_of_noise else zero
        # the noise itself stands on a line of its own
        return np.asarray((codes - level - dither) * newtons)

    told, found = as_told(case.told["converter step"]), spread(case, stepped)
    assert told[0] == pytest.approx(found[0], rel=0.35)  # a flat top keeps to one code
    assert told[2] == pytest.approx(found[2], rel=0.10)
    assert told[1] < 3.0 * max(found[1], 1e-4)


def test_scatter_by_what_the_ratings_allow(case):
    rng, count = np.random.default_rng(5), 40_000
    allowed = {name: float(row("chain_defaults", name)["half_width"]) for name in TOLERANCES + SHAPES}
    gain = np.prod([1.0 + allowed[name] * rng.uniform(-1.0, 1.0, count) for name in TOLERANCES], axis=0)
    near = min(case.peak / case.rig.cell.capacity, 0.5)
    shape = sum(allowed[name] * rng.uniform(-1.0, 1.0, count) for name in SHAPES)
    read = case.peak * gain + case.rig.cell.capacity * shape * 4.0 * near * (1.0 - near)
    assert case.told["calibration"].peak_error == pytest.approx(float(np.std(read)) / case.peak, rel=0.02)


def test_all_together(case):
    cell, corner = case.rig.cell, case.rig.amplifier.low_pass
    assert cell.natural_frequency is not None
    assert cell.damping_ratio is not None
    assert corner is not None
    time, force, true = whole(case, 2.0 / cell.natural_frequency + 2.0 / corner + 0.2 * case.duration)
    reading = second_order(force, FINE, cell.natural_frequency, cell.damping_ratio)
    reading = second_order(reading, FINE, corner, math.sqrt(0.5))
    reading = np.minimum(reading, case.rig.converter.span[1] / case.rig.rated_sensitivity)
    rate, found = case.rig.converter.rate, []
    for phase in range(100):
        at = (np.arange(1, int(time[-1] * rate) - 1) + phase / 100.0) / rate
        found.append(errors(figures(at, np.interp(at, time, reading), at[-1]), true))
    together = check_rig(case.rig, case.strike).together
    for place, told in enumerate((together.peak, together.rise)):
        worst = max((one[place] for one in found), key=abs)
        assert told == pytest.approx(float(worst), rel=0.02, abs=5e-4)
