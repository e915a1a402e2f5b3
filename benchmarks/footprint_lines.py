"""Photos of known truth whose scale comes from squared paper or from a ruler, for ``footprint_accuracy``."""

from __future__ import annotations

import math
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
from tameshi.demo.ruler import Ruler, RulerScene, render_with_ruler
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
BODIES = ((0.9, 0.9, 0.88), (0.85, 0.7, 0.25), (0.6, 0.6, 0.62), (0.75, 0.6, 0.4))
ACROSS, FLAT_ACROSS = 5.0, 15.0  # degrees: what the budget allows for; what ticks show


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


def some_ruler(rng: np.random.Generator) -> Ruler:
    return Ruler(
        length=float(rng.choice([0.11, 0.16, 0.21])),
        width=float(rng.uniform(0.022, 0.035)),
        tick=float(rng.uniform(0.00013, 0.00028)),
        inset=float(rng.choice([0.0, 0.0005])),
        thickness=float(rng.uniform(0.0, 0.002)),
        body=BODIES[rng.integers(0, len(BODIES))],
        scale=1.0 + float(rng.uniform(-0.005, 0.005)),
    )


def leaning(along: float, across: float, turn: float) -> tuple[float, float]:
    """Tilt and azimuth of a camera that leans so many degrees along and across a ruler turned so far."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    axis = (across * c - along * s, across * s + along * c)
    return math.hypot(*axis), math.degrees(math.atan2(axis[1], axis[0]))


def ruler_case(rng: np.random.Generator) -> Case:
    ruler, turn = some_ruler(rng), float(rng.uniform(-8, 8))
    flat = bool(rng.random() < 0.5)
    most = FLAT_ACROSS if flat else ACROSS
    along, across = float(rng.uniform(-15, 15)), float(rng.uniform(-most, most))
    tilt, azimuth = leaning(along, across, turn)
    long = int(rng.choice([2000, 3000, 4000], p=[0.3, 0.5, 0.2]))
    camera = Camera(
        width=round(0.75 * long),
        height=long,
        tilt=tilt,
        azimuth=azimuth,
        roll=float(rng.choice([0, 180])) + float(rng.uniform(-15, 15)),
        fill=float(rng.uniform(0.9, 1.35)),
        focal=float(rng.uniform(0.65, 1.1)),
    )
    light, finish, surface = some_light(rng), some_finish(rng), some_surface(rng)
    contact = some_print(rng, Box(0.105, 0.15, 0.105, 0.15).grown(0.0651))
    top = min(patch.y - patch.reach for patch in contact.patches)
    edge = top - float(rng.uniform(0.008, 0.02))
    contact = replace(contact, droplets=tuple(drop for drop in contact.droplets if drop.y > edge + 0.01))
    middle = 0.5 * ruler.length
    way = math.radians(turn)
    at = (0.105 - middle * math.cos(way), edge - middle * math.sin(way))
    bend = float(rng.choice([0.0, rng.uniform(-0.003, 0.003)]))
    scene = RulerScene(
        ruler=ruler, at=at, turn=turn, camera=camera, light=light, finish=finish, surface=surface, bend=bend
    )
    data = as_jpeg(render_with_ruler(contact, scene, rng), quality=finish.quality)
    about = (
        f"{described(contact, surface, finish)} along={along:.0f} across={across:.1f} turn={turn:.0f} "
        f"px={long} fill={camera.fill:.2f} bend={bend:.4f} thick={1e3 * ruler.thickness:.1f} "
        f"body={ruler.body} tick={1e3 * ruler.tick:.2f} shadow={light.shadow:.2f}"
    )
    kind, named = ("ruler, flat", "ruler:flat") if flat else ("ruler", "ruler")
    return Case(kind, data, named, None, contact.contact_area, inked_truth(contact, surface.bleed), about)
