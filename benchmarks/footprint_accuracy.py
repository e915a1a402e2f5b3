"""How right are measured prints? Renders photos and scans of known truth, measures them, prints a table.

Everything is varied, and what an uncertainty budget allows for is really drawn: printer, ruler and
scanner scale, ink bleed, pose, light, lens, noise, compression, ink, paper, ridges, debris.

    python -m benchmarks.footprint_accuracy --photos 200 --scans 200 --seed 7 --keep /tmp/pictures
"""

from __future__ import annotations

import argparse
import io
import math
import pickle
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tameshi.demo.photo import (
    Camera,
    Finish,
    Light,
    Printed,
    Setting,
    Surface,
    as_jpeg,
    as_png,
    camera_matrix,
    render_photo,
    render_scan,
)
from tameshi.demo.plain import Lying, PlainSetting, render_plain
from tameshi.demo.prints import TECHNIQUES, Blob, ContactPrint, Ridges, draw, thrown_droplets, wobbly_blob
from tameshi.errors import TameshiError
from tameshi.footprint import (
    BAR_LENGTH,
    Box,
    Footprint,
    Lens,
    Picked,
    PickedPoint,
    measure_footprint,
    sheet_layout,
)
from tameshi.quantity import Quantity

INKS = ((0.04, 0.04, 0.045), (0.03, 0.06, 0.30), (0.04, 0.22, 0.08), (0.45, 0.05, 0.06), (0.12, 0.10, 0.10))
PAPERS = ((0.95, 0.95, 0.93), (0.90, 0.88, 0.80), (0.72, 0.72, 0.72), (0.97, 0.97, 1.0))


@dataclass(frozen=True)
class Case:
    kind: str
    data: bytes
    reference: str | Picked
    bar: float | None
    contact: float
    inked: float
    about: str
    focal: float | None = None
    paper: str | None = None


def some_print(rng: np.random.Generator, box: Box) -> ContactPrint:
    choice = rng.integers(0, 6)
    middle = (0.5 * (box.left + box.right), 0.5 * (box.top + box.bottom))
    if choice < 3:
        contact = list(TECHNIQUES.values())[choice](rng)
    elif choice == 3:
        contact = ContactPrint("circle", (Blob(0.0, 0.0, float(rng.uniform(0.008, 0.03))),))
    elif choice == 4:
        contact = ContactPrint(
            "knuckle", (wobbly_blob(rng, 0.0, 0.0, float(rng.uniform(1.5e-4, 6e-4)), stretch=1.4),)
        )
    else:
        hollow = Blob(0.0, 0.0, float(rng.uniform(0.005, 0.009)))
        contact = ContactPrint("ring", (Blob(0.0, 0.0, float(rng.uniform(0.016, 0.024)), hollow=hollow),))
    room = (0.5 * box.width - 0.065, 0.5 * box.height - 0.065)
    contact = contact.moved(
        middle[0] + rng.uniform(-room[0], room[0]), middle[1] + rng.uniform(-room[1], room[1])
    )
    if rng.random() < 0.4:
        period = float(rng.uniform(0.00045, 0.0007))
        contact = replace(
            contact, ridges=Ridges(period, float(rng.uniform(0.5, 0.75)), float(rng.uniform(0.02, 0.08)))
        )
    if rng.random() < 0.25:
        contact = replace(contact, rim=float(rng.uniform(0.15, 0.45)))
    if rng.random() < 0.5:
        contact = thrown_droplets(rng, contact, int(rng.integers(1, 8)), within=box.grown(-0.01))
    return contact


def inked_truth(contact: ContactPrint, bleed: float, texel: float = 4e-5) -> float:
    """Ink on the paper, what crept past the contact included."""
    total = 0.0
    for patch in contact.patches:
        box = Box(patch.x, patch.y, patch.x, patch.y).grown(patch.reach + 10 * texel)
        alone = replace(contact, patches=(patch,), droplets=(), rim=0.0)
        total += float(draw(alone, box, texel, bleed=bleed).sum(dtype=np.float64)) * texel**2
    return total


def some_surface(rng: np.random.Generator) -> Surface:
    table = [float(v) for v in rng.uniform(0.02, 0.6, 3)]
    return Surface(
        paper=PAPERS[rng.integers(0, len(PAPERS))],
        ink=INKS[rng.integers(0, len(INKS))],
        table=(table[0], table[1], table[2]),
        clutter=int(rng.integers(0, 15)),
        patchiness=float(rng.uniform(0.0, 0.15)),
        bleed=float(rng.uniform(-1e-4, 1e-4)),
    )


def framed(paper: str, camera: Camera, boxes: Sequence[Box] = ()) -> Camera:
    """Step back until all markers, or all of some boxes on the paper, are in view."""
    whole = boxes or [box.grown(0.004) for box in sheet_layout(paper).markers]
    places = np.concatenate([box.corners for box in whole])
    while True:
        x, y = seen_places(paper, camera, places).T
        if x.min() > 0 and y.min() > 0 and x.max() < camera.width and y.max() < camera.height:
            return camera
        camera = replace(camera, fill=0.93 * camera.fill)


def seen_places(paper: str, camera: Camera, places: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where places on the paper, (n, 2), are in the picture, lens included."""
    lifted = np.column_stack([places, np.ones(len(places))]) @ camera_matrix(paper, camera).T
    lens = Lens(camera.width, camera.height, camera.distortion)
    return lens.bent(lifted[:, :2] / lifted[:, 2:])


def some_lens(rng: np.random.Generator) -> float:
    """How much the lens bends: most are corrected in the camera, some are not."""
    return float(rng.uniform(-0.03, 0.02) if rng.random() < 0.3 else rng.normal(0.0, 0.003))


def some_camera(rng: np.random.Generator, paper: str) -> Camera:
    long = int(rng.choice([1600, 2400, 3200, 4000], p=[0.35, 0.35, 0.2, 0.1]))
    upright = rng.random() < 0.7
    width, height = (round(0.75 * long), long) if upright else (long, round(0.75 * long))
    roll = float(rng.choice([0, 90, 180, 270])) if rng.random() < 0.3 else float(rng.uniform(-15, 15))
    most = 0.85 if upright and abs(math.sin(math.radians(roll))) < 0.3 else 0.62
    camera = Camera(
        width=width,
        height=height,
        tilt=float(rng.uniform(0, 35)),
        azimuth=float(rng.uniform(0, 360)),
        roll=roll,
        fill=float(rng.uniform(0.5, most)),
        focal=float(rng.uniform(0.65, 1.1)),
        distortion=some_lens(rng),
    )
    return framed(paper, camera)


def some_light(rng: np.random.Generator) -> Light:
    red, green, blue = (float(v) for v in rng.uniform(0.85, 1.1, 3))
    return Light(
        level=float(rng.uniform(0.45, 0.85)),
        gradient=float(rng.uniform(0, 0.4)),
        direction=float(rng.uniform(0, 360)),
        shadow=float(rng.choice([0.0, rng.uniform(0.1, 0.5)])),
        softness=float(rng.uniform(0.1, 0.4)),
        balance=(red, green, blue),
    )


def some_print_out(rng: np.random.Generator) -> tuple[tuple[float, float], float | None]:
    """What the printer made of a metre each way, and the bar as somebody measured it, if anybody did."""
    if rng.random() >= 0.67:
        across, along = (1.0 + float(v) for v in rng.uniform(-0.01, 0.01, 2))
        return (across, along), None
    base, other = float(rng.uniform(-0.03, 0.01)), float(rng.uniform(-0.002, 0.002))
    scale = (1.0 + base, 1.0 + base + other) if rng.random() < 0.5 else (1.0 + base + other, 1.0 + base)
    return scale, BAR_LENGTH * (1.0 + base) + float(rng.uniform(-0.0005, 0.0005))


def some_finish(rng: np.random.Generator) -> Finish:
    return Finish(
        blur=float(rng.uniform(0.4, 1.6)),
        noise=float(rng.uniform(0.0, 0.015)),
        quality=int(rng.integers(60, 96)),
        linear=bool(rng.random() < 0.7),
        texture=float(rng.uniform(0, 0.01)),
    )


def photo_case(rng: np.random.Generator) -> Case:
    paper = "a4" if rng.random() < 0.7 else "letter"
    zone, camera, light = sheet_layout(paper).zone, some_camera(rng, paper), some_light(rng)
    finish = some_finish(rng)
    (across, along), bar = some_print_out(rng)
    true_zone = Box(zone.left * across, zone.top * along, zone.right * across, zone.bottom * along)
    contact, surface = some_print(rng, true_zone.grown(-0.008)), some_surface(rng)
    setting = Setting(
        camera=camera,
        light=light,
        finish=finish,
        surface=surface,
        printed=Printed(paper=paper, scale=(across, along)),
    )
    data = as_jpeg(render_photo(contact, setting, rng), quality=finish.quality)
    about = f"{described(contact, surface, finish)} tilt={camera.tilt:.0f} shadow={light.shadow:.2f}"
    size = f"lens={camera.distortion:.3f} px={max(camera.width, camera.height)} fill={camera.fill:.2f}"
    kind = "photo, no bar" if bar is None else "photo, bar"
    truth = contact.contact_area, inked_truth(contact, surface.bleed)
    return Case(kind, data, "auto", bar, *truth, f"{about} {size}")


def scan_case(rng: np.random.Generator) -> Case:
    dpi = float(rng.choice([150, 200, 300, 600], p=[0.2, 0.3, 0.4, 0.1]))
    box = Box(0.0, 0.0, 0.16, 0.18)
    contact = some_print(rng, box.grown(-0.008))
    surface = replace(some_surface(rng), clutter=0)
    across, down = (1.0 + float(v) for v in rng.uniform(-0.005, 0.005, 2))
    finish = Finish(
        blur=float(rng.uniform(0.3, 1.2)),
        noise=float(rng.uniform(0, 0.01)),
        texture=float(rng.uniform(0, 0.008)),
        linear=bool(rng.random() < 0.7),
        quality=int(rng.integers(75, 96)),
    )
    pixels = render_scan(contact, box, dpi, rng, surface=surface, finish=finish, scale=(across, down))
    data = as_jpeg(pixels, quality=finish.quality) if rng.random() < 0.5 else as_png(pixels)
    about = f"{described(contact, surface, finish)} dpi={dpi:.0f}"
    truth = contact.contact_area, inked_truth(contact, surface.bleed)
    return Case("scan", data, f"scan:{dpi:.0f}", None, *truth, about)


def some_lying(rng: np.random.Generator, paper: str) -> Lying:
    curled = rng.random() < 0.5
    return Lying(
        paper=paper,
        cut=(float(rng.uniform(-0.0007, 0.0007)), float(rng.uniform(-0.0007, 0.0007))),
        texture=str(rng.choice(["plain", "wood", "speckled", "checked"])),
        contrast=float(rng.uniform(0.05, 0.3)),
        edge_shadow=float(rng.uniform(0.0, 0.6)),
        shadow_width=float(rng.uniform(0.0005, 0.004)),
        curl=float(rng.uniform(-0.002, 0.003)) if curled else 0.0,
        curl_angle=float(rng.choice([0.0, 90.0, rng.uniform(0, 180)])),
        fold=float(rng.uniform(0.008, 0.025)) if rng.random() < 0.1 else 0.0,
        finger=(float(rng.uniform(0.15, 0.85)), 0.015) if rng.random() < 0.1 else None,
    )


def sheet_case(rng: np.random.Generator) -> Case:
    paper = "a4" if rng.random() < 0.6 else "letter"
    lying = some_lying(rng, paper)
    camera = framed(paper, some_camera(rng, paper), [lying.box.grown(0.008)])
    light, finish, surface = some_light(rng), some_finish(rng), some_surface(rng)
    table = [float(v) for v in rng.uniform(0.02, 0.45, 3)]
    surface = replace(surface, table=(table[0], table[1], table[2]), clutter=int(rng.integers(0, 8)))
    setting = Setting(camera=camera, light=light, finish=finish, surface=surface)
    contact = some_print(rng, lying.box.grown(-0.02))
    pixels = render_plain(contact, PlainSetting(setting=setting, lying=lying), rng)
    data = as_jpeg(pixels, quality=setting.finish.quality)
    about = f"{described(contact, surface, setting.finish)} tilt={camera.tilt:.0f} {lying}"
    size = f"px={max(camera.width, camera.height)} fill={camera.fill:.2f} table={table}"
    truth = contact.contact_area, inked_truth(contact, surface.bleed)
    focal, stated = some_file(rng, camera, paper)
    return Case(
        "plain sheet", data, "auto", None, *truth, f"{about} {size} focal={focal}", focal=focal, paper=stated
    )


def some_file(rng: np.random.Generator, camera: Camera, paper: str) -> tuple[float | None, str | None]:
    """What a file says of the focal length, in whole millimetres of film, and somebody of the paper."""
    film = math.hypot(36.0, 24.0)
    share = camera.focal * max(camera.width, camera.height) / math.hypot(camera.width, camera.height)
    written = round(share * film * float(rng.uniform(0.97, 1.0))) / film
    said = rng.random()
    return (written if said < 0.8 else None), (paper if said > 0.9 else None)


def points_case(rng: np.random.Generator) -> Case:
    paper = "a4" if rng.random() < 0.6 else "letter"
    lying = Lying(paper=paper, texture="speckled")
    # four points show no lens: they ask for one that is corrected in the camera
    camera = replace(some_camera(rng, paper), distortion=float(rng.normal(0.0, 0.002)))
    camera = framed(paper, camera, [lying.box.grown(0.008)])
    light, finish, surface = some_light(rng), some_finish(rng), some_surface(rng)
    setting = Setting(camera=camera, light=light, finish=finish, surface=surface)
    contact = some_print(rng, lying.box.grown(-0.02))
    pixels = render_plain(contact, PlainSetting(setting=setting, lying=lying), rng)
    corners = lying.box.grown(-0.012).corners
    seen = seen_places(paper, camera, corners) + rng.uniform(-2.0, 2.0, (4, 2))
    places = corners + rng.uniform(-0.0005, 0.0005, (4, 2))
    points = tuple(
        PickedPoint((float(s[0]), float(s[1])), (float(p[0]), float(p[1])))
        for s, p in zip(seen, places, strict=True)
    )
    data = as_jpeg(pixels, quality=setting.finish.quality)
    truth = contact.contact_area, inked_truth(contact, setting.surface.bleed)
    about = f"{described(contact, setting.surface, setting.finish)} tilt={camera.tilt:.0f}"
    return Case("points", data, Picked(points=points), None, *truth, about)


def described(contact: ContactPrint, surface: Surface, finish: Finish) -> str:
    return (
        f"{contact.name} ridges={contact.ridges is not None} rim={contact.rim:.2f} ink={surface.ink} "
        f"paper={surface.paper} patchy={surface.patchiness:.2f} bleed={1e6 * surface.bleed:.0f}um "
        f"blur={finish.blur:.2f} lin={finish.linear} noise={finish.noise:.3f} q={finish.quality}"
    )


def measured(case: Case) -> Footprint | TameshiError:
    pixels = np.asarray(Image.open(io.BytesIO(case.data)))
    try:
        return measure_footprint(
            pixels, reference=case.reference, bar=case.bar, focal=case.focal, paper=case.paper
        )
    except TameshiError as refusal:
        return refusal


def line(name: str, area: str, cases: list[Case], results: list[Footprint | TameshiError]) -> str:
    pairs = list(zip(cases, results, strict=True))
    given = [
        (getattr(result, f"{area}_area"), getattr(case, area))
        for case, result in pairs
        if isinstance(result, Footprint)
    ]
    good = [(quantity, truth) for quantity, truth in given if isinstance(quantity, Quantity)]
    if not good:
        return f"{name:14s} {area:8s}    0 {len(pairs):4d}"
    found, truth = [quantity for quantity, _ in good], [truth for _, truth in good]
    error = np.array([abs(q.value / t - 1.0) for q, t in zip(found, truth, strict=True)]) * 100.0
    inside = 100.0 * np.mean([q.low <= t <= q.high for q, t in zip(found, truth, strict=True)])
    share = 100.0 * np.median([q.u / q.value for q in found])
    return (
        f"{name:14s} {area:8s} {len(good):4d} {len(pairs) - len(good):4d} {np.median(error):8.2f} "
        f"{np.quantile(error, 0.95):8.2f} {error.max():8.2f} {inside:8.1f} {share:8.2f}"
    )


def report(cases: list[Case], results: list[Footprint | TameshiError]) -> None:
    print("errors in %: median, 95th of 100, worst; share of intervals that hold the truth; median u")
    for kind in [*sorted({case.kind for case in cases}), "all"]:
        chosen = [n for n, case in enumerate(cases) if kind in {case.kind, "all"}]
        for area in ("contact", "inked"):
            print(line(kind, area, [cases[n] for n in chosen], [results[n] for n in chosen]))
    for case, result in zip(cases, results, strict=True):
        if not isinstance(result, Footprint):
            print("refused:", result.code, "-", case.kind, case.about, "-", result.message)
            continue
        off = result.contact_area.value / case.contact - 1.0
        if abs(off) > 0.05:
            codes = [flag.code for flag in result.flags]
            print(f"{case.kind} off by {100 * off:+.1f} %, flags {codes}: {case.about}")
    flags = Counter(flag.code for result in results if isinstance(result, Footprint) for flag in result.flags)
    print("flags:", flags.most_common())


def cases_of(
    kind: Callable[[np.random.Generator], Case], count: int, about: tuple[str, int, Path | None]
) -> Iterator[Case]:
    """Render so many cases of a kind, or read those that were kept from an earlier run."""
    name, seed, folder = about
    for n in range(count):
        kept = None if folder is None else folder / f"{name}-{seed}-{n}.pickle"
        if kept is not None and kept.exists():
            yield Case(**pickle.loads(kept.read_bytes()))
            continue
        case = kind(np.random.default_rng([seed, *name.encode(), n]))
        if kept is not None:
            kept.write_bytes(pickle.dumps(vars(case)))
        yield case


def main(arguments: Sequence[str] = ()) -> None:
    from benchmarks.footprint_lines import grid_case, ruler_case  # noqa: PLC0415  it draws on what is above

    kinds = {
        "photos": (photo_case, 60),
        "scans": (scan_case, 40),
        "sheets": (sheet_case, 20),
        "grids": (grid_case, 20),
        "rulers": (ruler_case, 20),
        "points": (points_case, 10),
    }
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    for name, (_, usual) in kinds.items():
        parser.add_argument(f"--{name}", type=int, default=usual)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--keep", type=Path, help="folder for the rendered pictures: measured again, not drawn"
    )
    asked = parser.parse_args(arguments)
    if asked.keep is not None:
        asked.keep.mkdir(parents=True, exist_ok=True)
    cases, results = [], []
    started = time.perf_counter()
    for name, (kind, _) in kinds.items():
        for case in cases_of(kind, getattr(asked, name), (name, asked.seed, asked.keep)):
            cases.append(replace(case, data=b""))
            results.append(measured(case))
    report(cases, results)
    print(f"{time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main(sys.argv[1:])
