"""Photos of known truth whose scale comes from squared paper or from a ruler, for ``footprint_accuracy``."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from benchmarks.footprint_accuracy import (
    Case,
    described,
    inked_truth,
    some_camera,
    some_light,
    some_print,
    some_surface,
)
from tameshi.demo.photo import Camera, Finish, as_jpeg
from tameshi.demo.squared import Squared, SquaredScene, render_squared
from tameshi.footprint import Box

PITCHES = {"1 mm": 0.001, "2 mm": 0.002, "4 mm": 0.004, "5 mm": 0.005, "10 mm": 0.01, "1/4 in": 0.00635}
LINES = (
    (0.45, 0.6, 0.85),
    (0.6, 0.6, 0.6),
    (0.9, 0.6, 0.35),
    (0.55, 0.75, 0.6),
    (0.75, 0.6, 0.8),
    (0.3, 0.3, 0.3),
)


def some_finish(rng: np.random.Generator) -> Finish:
    return Finish(
        blur=float(rng.uniform(0.4, 1.6)),
        noise=float(rng.uniform(0.0, 0.015)),
        quality=int(rng.integers(60, 96)),
        linear=bool(rng.random() < 0.7),
        texture=float(rng.uniform(0, 0.01)),
    )


def some_squares(rng: np.random.Generator) -> tuple[str, Squared]:
    named = str(rng.choice(list(PITCHES)))
    pitch = PITCHES[named]
    fine = pitch <= 0.002
    squared = Squared(
        pitch=pitch,
        margin=float(rng.choice([0.0, 0.005, 0.01])),
        line=float(rng.uniform(0.0001, 0.0002) if fine else rng.uniform(0.00012, 0.0003)),
        colour=LINES[rng.integers(0, len(LINES))],
        every=((5, 10) if pitch == 0.001 else (5,)) if fine and rng.random() < 0.8 else (),
        weakness=float(rng.uniform(0.4, 0.8)),
        scale=(1.0 + float(rng.uniform(-0.005, 0.005)), 1.0 + float(rng.uniform(-0.005, 0.005))),
        shift=(float(rng.uniform(0, 1)), float(rng.uniform(0, 1))),
    )
    return named, squared


def some_view_of_squares(rng: np.random.Generator, pitch: float) -> Camera:
    """Squares must be resolved: millimetre paper asks for the full resolution of a phone."""
    camera = some_camera(rng, "a4")
    if pitch <= 0.002:
        most = 4000.0 / max(camera.width, camera.height) if pitch <= 0.001 else 1.0
        width, height = (round(most * side) for side in (camera.width, camera.height))
        camera = replace(camera, width=width, height=height, fill=max(0.62, camera.fill))
    return replace(camera, fill=camera.fill * (float(rng.uniform(1.1, 1.5)) if rng.random() < 0.3 else 1.0))


def grid_case(rng: np.random.Generator) -> Case:
    named, squared = some_squares(rng)
    camera, light, finish = some_view_of_squares(rng, squared.pitch), some_light(rng), some_finish(rng)
    middle = Box(0.5 * squared.width, 0.5 * squared.height, 0.5 * squared.width, 0.5 * squared.height)
    contact, surface = some_print(rng, middle.grown(0.075)), some_surface(rng)
    bend = float(rng.choice([0.0, rng.uniform(-0.012, 0.012)]))
    scene = SquaredScene(
        squared=squared, camera=camera, light=light, finish=finish, surface=surface, bend=bend
    )
    data = as_jpeg(render_squared(contact, scene, rng), quality=finish.quality)
    about = (
        f"{described(contact, surface, finish)} pitch={named} colour={squared.colour} "
        f"line={1e3 * squared.line:.2f}mm tilt={camera.tilt:.0f} shadow={light.shadow:.2f} bend={bend:.3f} "
        f"px={max(camera.width, camera.height)} fill={camera.fill:.2f} every={squared.every}"
    )
    truth = contact.contact_area, inked_truth(contact, surface.bleed)
    return Case("grid", data, f"grid:{named}", None, *truth, about)
