"""Recordings of known truth for the force tests: a simulated chain, our own pulses, a fixed seed."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.chain import Surroundings, record
from tameshi.demo.pulses import together
from tameshi.force import Origin, Reduction, Settings, Trace, reduce_trace
from tameshi.rig import Amplifier, Cell, Converter, Plate, Rig, conversion_by_scale, conversion_of_rig

FloatArray = NDArray[np.float64]
Force = Callable[[FloatArray], FloatArray]
NOISE = Surroundings(noise=3.0)


def post(rate=20_000.0, natural=None, damping=0.03, span=(-10.0, 10.0), capacity=10_000.0, bits=16) -> Rig:
    """Return a rig whose ratings are exactly true in the simulation."""
    return Rig(
        name="test post",
        identity="test",
        cell=Cell(
            capacity=capacity,
            rated_output=2e-3,
            natural_frequency=natural,
            damping_ratio=damping if natural else None,
        ),
        amplifier=Amplifier(excitation=5.0, gain=500.0),
        converter=Converter(rate=rate, bits=bits, span=span),
        plate=Plate(pad="none"),
    )


def volts(
    forces: list[Force], duration=1.2, rig: Rig | None = None, surroundings=NOISE, seed=1
) -> FloatArray:
    """Return what a rig records of several forces."""
    total = together(forces) if forces else np.zeros_like
    return record(total, duration, rig or post(), surroundings, np.random.default_rng(seed))


def reduced(samples: FloatArray, rig: Rig | None = None, *, settings: Settings | None = None) -> Reduction:
    """Return the strikes in volts recorded by a rig."""
    used = rig or post()
    trace = Trace(samples, used.converter.rate, "V", Origin("test.csv", "0" * 64, "volts"))
    return reduce_trace(trace, conversion_of_rig(used), rig=used, settings=settings)


def reduced_newtons(samples: FloatArray, rate: float) -> Reduction:
    """Return the strikes in newtons of which nothing more is known."""
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    return reduce_trace(Trace(samples, rate, "N", Origin("test.csv", "0" * 64, "force")), conversion)


def codes(flags) -> set[str]:
    """Return the codes of flags."""
    return {flag.code for flag in flags}
