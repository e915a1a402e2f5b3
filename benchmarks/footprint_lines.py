"""Photos of known truth whose scale comes from squared paper or from a ruler, for ``footprint_accuracy``."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from benchmarks.footprint_accuracy import (
    Case,
    described,
    framed,
    inked_truth,
    some_camera,
    some_file,
    some_finish,
    some_light,
    some_print,
    some_surface,
)
from tameshi.demo.photo import Camera, as_jpeg
from tameshi.demo.prints import ContactPrint
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


@dataclass(frozen=True)
class Make:
    """What rulers of one make have in common; widths of ticks and largest thickness in metres."""

    name: str
    bodies: tuple[tuple[float, float, float], ...]
    tick: tuple[float, float]
    thickness: float
    bevels: bool = False
    grain: float = 0.0
    sheen: float = 0.0


MAKES = (
    Make(
        "plastic",
        ((0.9, 0.9, 0.88), (0.85, 0.7, 0.25), (0.5, 0.6, 0.75)),
        (0.00013, 0.00028),
        0.002,
        bevels=True,
    ),
    Make("clear", ((0.8, 0.85, 0.85), (0.55, 0.75, 0.6)), (0.00013, 0.00028), 0.002, bevels=True, sheen=0.3),
    Make("steel", ((0.6, 0.6, 0.62), (0.45, 0.45, 0.46)), (0.00008, 0.0002), 0.001, grain=0.06, sheen=0.5),
    Make("wood", ((0.75, 0.6, 0.4), (0.6, 0.45, 0.28)), (0.00015, 0.0003), 0.002, bevels=True, grain=0.12),
    Make("paper", ((0.9, 0.9, 0.9), (0.95, 0.93, 0.85)), (0.0001, 0.00025), 0.0003),
)
ACROSS = 5.0  # degrees: what the budget of a bevelled ruler allows for
BEVELS = (6.0, 18.0)  # degrees
LEVEL = 1.0  # degrees: ticks called level lie so within


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
    scene = SquaredScene(squared=squared, camera=camera, light=light, finish=finish, surface=surface)
    data = as_jpeg(render_squared(contact, scene, rng), quality=finish.quality)
    about = (
        f"{described(contact, surface, finish)} pitch={named} colour={squared.colour} "
        f"line={1e3 * squared.line:.2f}mm tilt={camera.tilt:.0f} shadow={light.shadow:.2f} "
        f"lens={camera.distortion:.3f} px={max(camera.width, camera.height)} fill={camera.fill:.2f} "
        f"every={squared.every}"
    )
    truth = contact.contact_area, inked_truth(contact, surface.bleed)
    return Case("grid", data, f"grid:{named}", None, *truth, about)


def some_ruler(rng: np.random.Generator) -> Ruler:
    """A ruler of some make whose ticks lie level, or on a bevel: then its edge is thin."""
    make = MAKES[rng.integers(0, len(MAKES))]
    bevelled = make.bevels and bool(rng.random() < 0.55)
    body = np.array(make.bodies[rng.integers(0, len(make.bodies))])
    pale = float(rng.uniform(0.3, 0.7)) if rng.random() < 0.25 else 0.05  # of the body's light
    short = float(rng.uniform(0.002, 0.0045))
    five = short + float(rng.uniform(0.001, 0.0025))
    return Ruler(
        length=float(rng.choice([0.11, 0.16, 0.21, 0.31])),
        width=float(rng.uniform(0.015 if make.name in {"steel", "paper"} else 0.022, 0.035)),
        longer=((1, short), (5, five), (10, five + float(rng.uniform(0.0, 0.003)))),
        tick=float(rng.uniform(*make.tick)),
        inset=float(rng.choice([0.0, 0.0, 0.0005, 0.001])),
        thickness=float(rng.uniform(0.0, 0.001 if bevelled else make.thickness)),
        bevel=float(rng.uniform(*BEVELS) if bevelled else rng.uniform(-LEVEL, LEVEL)),
        strip=float(rng.uniform(0.008, 0.012)),
        body=_colour(body),
        ink=_colour(pale * np.minimum(body, 0.9)),
        opacity=float(rng.uniform(0.05, 0.3)) if make.name == "clear" else 1.0,
        grain=make.grain * float(rng.uniform(0.3, 1.0)),
        sheen=(make.sheen * float(rng.uniform(0.0, 1.0)), float(rng.uniform(0.0, 1.0))),
        both=bool(not bevelled and rng.random() < 0.3),
        digits=bool(rng.random() < 0.85),
        scale=1.0 + float(rng.uniform(-0.005, 0.005)),
    )


def _colour(light: np.ndarray) -> tuple[float, float, float]:
    return float(light[0]), float(light[1]), float(light[2])


def some_view_of_a_ruler(
    rng: np.random.Generator, ruler: Ruler, edge: float, turn: float, contact: ContactPrint
) -> Camera:
    """A camera that sees the print and most of the ruler."""
    tilt, azimuth = float(rng.uniform(0, 35)), float(rng.uniform(0, 360))
    if is_bevelled(ruler):  # little shows how far the camera leans across it: it was held level, nearly
        tilt, azimuth = leaning(float(rng.uniform(-15, 15)), float(rng.uniform(-ACROSS, ACROSS)), turn)
    long = int(rng.choice([1600, 2400, 3200, 4000], p=[0.2, 0.4, 0.3, 0.1]))
    camera = Camera(
        width=round(0.75 * long),
        height=long,
        tilt=tilt,
        azimuth=azimuth,
        roll=float(rng.uniform(0, 360)),
        fill=float(rng.uniform(0.9, 1.35)),
        focal=float(rng.uniform(0.65, 1.1)),
        distortion=float(rng.uniform(-0.003, 0.003)),
    )
    prints = [Box(p.x, p.y, p.x, p.y).grown(p.reach + 0.006) for p in contact.patches]
    part = min(0.4 * ruler.length, 0.065)  # longer ones may run out of the picture
    ticks = Box(0.105 - part, edge - 0.012, 0.105 + part, edge)
    return framed("a4", camera, [*prints, ticks])


def is_bevelled(ruler: Ruler) -> bool:
    return ruler.bevel > LEVEL


def leaning(along: float, across: float, turn: float) -> tuple[float, float]:
    """Tilt and azimuth of a camera that leans so many degrees along and across a ruler turned so far."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    axis = (across * c - along * s, across * s + along * c)
    return math.hypot(*axis), math.degrees(math.atan2(axis[1], axis[0]))


def ruler_case(rng: np.random.Generator) -> Case:
    ruler, turn = some_ruler(rng), float(rng.uniform(-8, 8))
    light, finish, surface = some_light(rng), some_finish(rng), some_surface(rng)
    contact = some_print(rng, Box(0.105, 0.15, 0.105, 0.15).grown(0.0651))
    top = min(patch.y - patch.reach for patch in contact.patches)
    edge = top - float(rng.uniform(0.008, 0.02))
    contact = replace(contact, droplets=tuple(drop for drop in contact.droplets if drop.y > edge + 0.01))
    camera = some_view_of_a_ruler(rng, ruler, edge, turn, contact)
    middle = 0.5 * ruler.length
    way = math.radians(turn)
    at = (0.105 - middle * math.cos(way), edge - middle * math.sin(way))
    scene = RulerScene(
        ruler=ruler, at=at, turn=turn, camera=camera, light=light, finish=finish, surface=surface
    )
    data = as_jpeg(render_with_ruler(contact, scene, rng), quality=finish.quality)
    about = (
        f"{described(contact, surface, finish)} tilt={camera.tilt:.0f} azimuth={camera.azimuth:.0f} "
        f"turn={turn:.0f} px={camera.height} fill={camera.fill:.2f} lens={camera.distortion:.4f} "
        f"thick={1e3 * ruler.thickness:.1f} body={ruler.body} tick={1e3 * ruler.tick:.2f} "
        f"length={ruler.length} shadow={light.shadow:.2f} focal={camera.focal:.2f} bevel={ruler.bevel:.1f} "
        f"ink={ruler.ink[0]:.2f} short={1e3 * ruler.longer[0][1]:.1f} opacity={ruler.opacity:.2f} "
        f"grain={ruler.grain:.2f} sheen={ruler.sheen[0]:.2f} roll={camera.roll:.0f}"
    )
    said = bool(rng.random() < 0.67)
    edge_is = "bevelled" if is_bevelled(ruler) else "flat"
    kind = f"ruler, {edge_is}" if said else f"ruler, {edge_is}?"
    named = f"ruler:{edge_is}" if said else "ruler"
    focal, _ = some_file(rng, camera, "a4")
    truth = contact.contact_area, inked_truth(contact, surface.bleed)
    return Case(kind, data, named, None, *truth, about, focal=focal)
