"""How often do the bands of a transfer hold the truth, and how wide are they? Simulated, printed.

Simulated strikers hit a plate, which is recorded with errors, and then a free part of the body drawn from the
published ranges. What the model of transfer does not know is in the truth: springs of the striker that harden
by any power from 1 to 1.7, flesh that hardens, losses that differ on plate and part. This says how the bands
do within mechanics of that kind. It says nothing of people.

    python -m benchmarks.transfer_truth --strikes 300 --seed 1
"""

from __future__ import annotations

import argparse
import math
import time
from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, Source
from tameshi.target.contact import DissipativeContact, damping_for, restitution
from tameshi.target.transfer import (
    Band,
    Blow,
    BodyPart,
    Pad,
    PartModel,
    Range,
    Striker,
    Transfer,
    body_part,
    follow_contact,
    part_names,
    transfer,
)
from tameshi.target.transfer.by_energy import energy_left

FloatArray = NDArray[np.float64]
RATE, DRAWS = 20_000.0, 3000
KNOWN = ("speed", "mass", "both", "speed, pad of known stiffness", "speed, pad not known", "nothing")


@dataclass(frozen=True)
class Truth:
    """A striker and a part, and what the one does to the other."""

    mass: float
    speed: float
    spring: float
    exponent: float
    part: BodyPart
    part_mass: float
    force: float
    impulse: float


def log_uniform(rng: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(rng.uniform(math.log(low), math.log(high))))


def peak_on(
    energy: float, damping: float, spring: float, exponent: float, part: tuple[float, float]
) -> float:
    """Return the peak force of a collision over two springs that harden: k1 x^n, and k2 y^p."""
    force = np.concatenate(([0.0], np.geomspace(1e-2, 1e6, 20_000)))
    depth = (force / spring) ** (1.0 / exponent) + (force / part[0]) ** (1.0 / part[1])
    stored = np.concatenate(([0.0], np.cumsum(0.5 * (force[1:] + force[:-1]) * np.diff(depth))))
    e = float(restitution(damping))
    closing = np.linspace(1.0, -e, 4001)
    left = 2.0 * energy * energy_left(closing, np.full(len(closing), damping))
    elastic = np.interp(left, stored, force)
    return float((elastic * (1.0 + damping * closing)).max())


def drawn(rng: np.random.Generator) -> Truth:
    part = body_part(str(rng.choice(part_names())))
    model: PartModel = part.models[int(rng.integers(len(part.models)))]
    alone = BodyPart(name=part.name, models=(model,), is_head=part.is_head)
    mass, speed = log_uniform(rng, 0.8, 6.0), log_uniform(rng, 4.5, 13.0)
    exponent, lasting = float(rng.uniform(1.0, 1.7)), log_uniform(rng, 0.005, 0.018)
    # about as long as a straight spring would last, the force that belongs to it then setting the true spring
    about = mass * speed * math.pi / lasting
    spring = about / (about / (mass * (math.pi / lasting) ** 2)) ** exponent
    part_mass = log_uniform(rng, model.mass.low, model.mass.high)
    stiffness = log_uniform(rng, model.stiffness.low, model.stiffness.high)
    hardening = float(rng.uniform(1.0, 1.4))
    reduced = mass * part_mass / (mass + part_mass)
    damping = float(damping_for(rng.uniform(0.25, 1.0)))
    energy = 0.5 * reduced * speed**2
    # flesh that has the drawn stiffness as force over depth at about its peak
    soft = peak_on(energy, damping, spring, exponent, (stiffness, 1.0))
    part_spring = (soft / (soft / stiffness) ** hardening, hardening)
    return Truth(
        mass=mass,
        speed=speed,
        spring=spring,
        exponent=exponent,
        part=alone,
        part_mass=part_mass,
        force=peak_on(energy, damping, spring, exponent, part_spring),
        impulse=(1.0 + float(restitution(damping))) * reduced * speed,
    )


def measured(rng: np.random.Generator, value: float, unit: str, relative: float) -> Quantity:
    return Quantity(
        value * (1.0 + relative * float(rng.standard_normal())),
        unit,
        {Source(f"noise {unit}", "noise"): relative * value},
    )


def recorded(truth: Truth, rng: np.random.Generator, known: str) -> tuple[Blow, Striker]:
    """Return what the plate records of a striker, and what its person says."""
    damping = float(damping_for(rng.uniform(0.25, 1.0)))
    own = DissipativeContact(
        stiffness=truth.spring, exponent=truth.exponent, dissipation=damping / (1.5 * truth.speed)
    )
    pad = Pad("none")
    if "pad" in known:
        # a pad as stiff as the striker at its peak and more, known to a tenth where it is known
        plain = follow_contact(truth.mass, math.inf, truth.speed, own)
        secant = float(plain.force.max() / plain.depth.max())
        foam = secant * log_uniform(rng, 1.5, 6.0)
        said = foam * float(np.exp(rng.uniform(-0.1, 0.1)))
        pad = Pad("foam", Range(0.9 * said, 1.1 * said)) if "known stiffness" in known else Pad("foam")
        own = DissipativeContact(
            stiffness=1.0 / (1.0 / secant + 1.0 / foam), exponent=1.0, dissipation=own.dissipation
        )
    met = follow_contact(truth.mass, math.inf, truth.speed, own)
    blow = Blow(
        index=1,
        peak_force=measured(rng, float(met.force.max()), "N", 0.01),
        impulse=measured(rng, met.impulse, "N s", 0.01),
        duration=measured(rng, met.duration, "s", 0.01),
        pad=pad,
    )
    speed = truth.speed * float(np.exp(rng.uniform(-0.05, 0.05)))
    mass = truth.mass * float(np.exp(rng.uniform(-0.2, 0.2)))
    filmed = Range(speed * math.exp(-0.05), speed * math.exp(0.05))
    weighed = Range(mass * math.exp(-0.2), mass * math.exp(0.2))
    if known == "nothing":
        return blow, Striker()
    if known == "mass":
        return blow, Striker(mass=weighed)
    return blow, Striker(speed=filmed, mass=weighed if known == "both" else None)


def bands(found: Transfer, truth: Truth) -> dict[str, tuple[Band, float]]:
    limits = {
        "force, limits": (found.limits.force, truth.force),
        "acceleration, limits": (found.limits.acceleration, truth.force / truth.part_mass),
    }
    if found.arrival is None or found.striker_mass is None:
        return limits
    return {
        "force": (found.arrival.peak_force, truth.force),
        "acceleration": (found.arrival.acceleration, truth.force / truth.part_mass),
        "impulse": (found.arrival.impulse, truth.impulse),
        "speed of the part": (found.arrival.speed, truth.impulse / truth.part_mass),
        "striker's mass": (found.striker_mass, truth.mass),
        **limits,
    }


def holds(band: Band, true: float) -> bool:
    above = band.low is None or band.low <= true
    return above and (band.high is None or true <= band.high)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--strikes", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    # run by name with others, their names are not ours
    asked, _ = parser.parse_known_args()
    rng = np.random.default_rng(asked.seed)
    for known in KNOWN:
        held: defaultdict[str, list[bool]] = defaultdict(list)
        width: defaultdict[str, list[float]] = defaultdict(list)
        refused, spent = 0, 0.0
        for _ in range(asked.strikes):
            truth = drawn(rng)
            blow, striker = recorded(truth, rng, known)
            began = time.perf_counter()
            try:
                found = transfer(blow, truth.part, striker, generator=rng, draws=DRAWS)
            except UnmeasurableError:
                refused += 1
                continue
            spent += time.perf_counter() - began
            for name, (band, true) in bands(found, truth).items():
                held[name].append(holds(band, true))
                if band.low and band.high:
                    width[name].append(band.high / band.low)
        print(f"known: {known}; {refused} of {asked.strikes} refused; {1e3 * spent / asked.strikes:.0f} ms")
        for name, one in held.items():
            ratio = f"high over low {np.median(width[name]):.2f}" if width[name] else "one side"
            print(f"  {name:22} {np.mean(one):6.1%} hold the truth, {ratio}")


if __name__ == "__main__":
    main()
