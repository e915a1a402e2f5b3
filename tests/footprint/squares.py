"""Pictures for tests: discs of ink on squared paper, drawn small so that they are quick."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, Finish, Surface
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.demo.squared import Squared, SquaredScene, render_squared

MIDDLE = (0.06, 0.075)


def struck(radius: float = 0.012, x: float = MIDDLE[0], y: float = MIDDLE[1]) -> ContactPrint:
    """Return a round print; a radius of zero is no print."""
    return ContactPrint("disc", (Blob(x, y, radius),) if radius else ())


def squares(
    contact: ContactPrint | None = None,
    *,
    seed: int = 1,
    camera: Camera | None = None,
    distortion: float = 0.0,
    finish: Finish | None = None,
    surface: Surface | None = None,
    **sheet: object,
) -> NDArray[np.uint8]:
    """Return a photo of a small sheet of squared paper, 120 by 150 mm."""
    scene = SquaredScene(
        squared=Squared(**{"width": 0.12, "height": 0.15, **sheet}),  # type: ignore[arg-type]
        camera=replace(
            camera or Camera(width=900, height=1200, fill=0.85, tilt=12.0, azimuth=30.0, roll=4.0),
            distortion=distortion,
        ),
        finish=finish or Finish(),
        surface=surface or Surface(),
    )
    return render_squared(contact or struck(), scene, np.random.default_rng(seed))
