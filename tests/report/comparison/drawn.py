"""Drawings of comparisons to test with. All figures are invented."""

from __future__ import annotations

import numpy as np

from tameshi.comparison import Asked, Trial, compare
from tameshi.quantity import Quantity, Source
from tameshi.report.comparison import Moved, distributions, force_area, speed_mass, timelines
from tameshi.report.notation import notation_for

TECHNIQUES = {"palm heel": (2400.0, 12e-4), "hammer fist": (2900.0, 19e-4), "front kick": (4800.0, 32e-4)}


def trial(value, unit, *, athlete="A1", order=0, recording="r"):
    label = f"{recording}.csv:{order}"
    source = Source(f"{unit}{athlete}{label}", "noise")
    return Trial(
        value=Quantity(float(value), unit, {source: 0.01 * abs(float(value))}),
        athlete=athlete,
        session="3 May",
        order=float(order),
        label=label,
        recording=recording,
        at=2.0 * order,
    )


def strikes(count=6, *, unit="N", place=0, seed=1, athletes=("A1", "A2")):
    """Strikes of three techniques, each in a recording of its own."""
    rng = np.random.default_rng(seed)
    found = {}
    for number, (name, figures) in enumerate(TECHNIQUES.items()):
        middle = figures[place]
        found[name] = tuple(
            trial(
                middle * np.exp(rng.normal(0.0, 0.06)),
                unit,
                athlete=athletes[n % len(athletes)],
                order=n + 100 * number,
                recording=name.replace(" ", "-"),
            )
            for n in range(count)
        )
    return found


def comparison(groups):
    return compare(groups, Asked(figure="peak force", with_components=False))


def notation(*groups, first="si"):
    return notation_for(first, [trial.value for each in groups for own in each.values() for trial in own])


def spread(count=6, first="si", **how):
    groups = strikes(count, **how)
    return distributions(comparison(groups).groups, "peak force", notation(groups, first=first))


def plane(count=6):
    areas, forces = strikes(count, unit="m2", place=1, seed=2), strikes(count)
    pairs = {name: (areas[name], forces[name]) for name in forces}
    return force_area(pairs, notation(areas, forces), without=2)


def moved(count=5):
    rng = np.random.default_rng(3)
    return [
        Moved(
            group=name,
            speed=Quantity(speed * np.exp(rng.normal(0, 0.05)), "m/s", {Source(f"v{name}{n}", "film"): 0.2}),
            mass=Quantity(mass * np.exp(rng.normal(0, 0.05)), "kg", {Source(f"m{name}{n}", "impulse"): 0.1}),
            is_invented=True,
        )
        for name, speed, mass in (("palm heel", 7.5, 2.6), ("front kick", 6.0, 6.5))
        for n in range(count)
    ]


def motion(count=5):
    records = moved(count)
    return speed_mass(
        records, notation_for("si", [value for one in records for value in (one.speed, one.mass)])
    )


def courses(count=6):
    groups = strikes(count, athletes=("A1",))
    return timelines(groups, "peak force", notation(groups))


def every():
    return [spread(), spread(30), plane(), motion(), *courses()]
