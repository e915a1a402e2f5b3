"""Pictures for tests: a disc of ink on plain paper and a ruler beside it, drawn small to be quick."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, Finish
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.demo.ruler import Ruler, RulerScene, render_with_ruler

MIDDLE = (0.07, 0.08)


def measured_with(
    contact: ContactPrint | None = None,
    *,
    seed: int = 1,
    camera: Camera | None = None,
    finish: Finish | None = None,
    turn: float = 3.0,
    at: tuple[float, float] = (0.012, 0.045),
    **ruler: object,
) -> NDArray[np.uint8]:
    """Return a photo of a small sheet, 140 by 150 mm, with a ruler of 115 mm."""
    scene = RulerScene(
        ruler=Ruler(**{"length": 0.115, "width": 0.025, **ruler}),  # type: ignore[arg-type]
        at=at,
        turn=turn,
        size=(0.14, 0.15),
        camera=camera or Camera(width=1000, height=1200, fill=0.9, roll=4.0),
        finish=finish or Finish(),
    )
    return render_with_ruler(contact or struck(), scene, np.random.default_rng(seed))


def struck(radius: float = 0.012, x: float = MIDDLE[0], y: float = MIDDLE[1]) -> ContactPrint:
    """Return a round print; a radius of zero is no print."""
    return ContactPrint("disc", (Blob(x, y, radius),) if radius else ())
