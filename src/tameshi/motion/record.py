"""A measured film as it stands in machine-readable results, and its track as a table."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from tameshi.motion.film import Film
from tameshi.motion.strike_motion import FIGURES, StrikeMotion
from tameshi.quantity import Measured, as_dict

SCHEMA = "tameshi.clip/1"
TRACK_HEADINGS = (
    "frame",
    "time [s]",
    "across [px]",
    "down [px]",
    "u across [px]",
    "u down [px]",
    "likeness",
    "smear [px]",
    "right [m]",
    "up [m]",
    "fitted",
)
"""Columns of the track's table."""


def motion_as_dict(
    film: Film,
    motion: StrikeMotion,
    said: str,
    quantity: Callable[[Measured], dict[str, Any]] = as_dict,
) -> dict[str, Any]:
    """Return the figures of a strike as JSON holds them, without the file's own facts.

    Parameters
    ----------
    film : Film
    motion : StrikeMotion
    said : str
        What was followed.
    quantity : callable
        How quantities are written.
    """
    track, contact = motion.track, motion.contact
    share = track.exposure_share
    return {
        "followed": {
            "what": said,
            "start_frame": film.first + track.start,
            "frames_seen": len(track.seen),
            "frames": len(film.frames),
            "place_u_px": float(np.nanmedian(track.u)),
            "exposure": share * film.interval if math.isfinite(share) else None,
            "smear_px": float(
                motion.path.smear[: motion.path.until(contact.earliest).times.size].max(initial=0.0)
            ),
        },
        "scale": {"from": motion.scale.said, "metres_per_pixel": motion.scale.metre},
        "contact": {
            "by": contact.by,
            "time": contact.time,
            "u": contact.u,
            "low": contact.earliest,
            "high": contact.latest,
            "frame": frame_of_contact(film, motion),
            "frames_before": motion.frames_before,
        },
        **{name: quantity(motion.figure(name)) for name in FIGURES},
        "flags": [flag.as_dict() for flag in motion.flags],
    }


def frame_of_contact(film: Film, motion: StrikeMotion) -> int:
    """Return the number of the first frame after contact, as it was found."""
    return film.first + int(np.searchsorted(film.times, motion.contact.time))


def track_rows(film: Film, motion: StrikeMotion) -> list[tuple[float | int | str, ...]]:
    """Return the track, a row a frame, under ``TRACK_HEADINGS``; empty cells where it was lost."""
    track, scale = motion.track, motion.scale
    last = motion.contact.earliest
    rows: list[tuple[float | int | str, ...]] = []
    for n, place in enumerate(track.places):
        number, time = film.first + n, round(float(film.times[n]), 7)
        if not np.isfinite(place[0]):
            rows.append((number, time, "", "", "", "", 0.0, "", "", "", 0))
            continue
        right, down = scale.matrix @ (place - scale.at)
        figures = (*place, *track.u[n], track.likeness[n], track.smear[n], right, -down)
        rows.append((number, time, *(round(float(v), 5) for v in figures), int(film.times[n] < last)))
    return rows


def track_as_dict(film: Film, motion: StrikeMotion) -> dict[str, Any]:
    """Return the track as JSON holds it: a list a column."""
    columns = list(zip(*track_rows(film, motion), strict=True))
    return {
        "schema": "tameshi.track/1",
        **{
            heading: [None if cell == "" else cell for cell in column]
            for heading, column in zip(TRACK_HEADINGS, columns, strict=True)
        },
    }
