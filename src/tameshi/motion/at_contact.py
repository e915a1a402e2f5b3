"""Speed at contact: for each instant at which contact may have begun, from the frames before it alone.

The speeds of all those instants are weighed as the instants are. Nothing after contact can lessen the speed,
and no frame that was certainly before it is left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tameshi.motion.contact import Contact
from tameshi.motion.path import Path
from tameshi.motion.smooth import smooth_motion, usual_drive

_MARGIN = 0.0003  # seconds before contact in which a frame no longer counts as before
_LIGHT = 0.01  # weight below which a cut is left out
FEWEST = 5
"""Frames that a speed is fitted to at least."""
_WINDOW = 0.08  # seconds before contact that are fitted
_MOST_FRAMES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class AtContact:
    """Speed at contact in the picture, in m/s.

    Parameters
    ----------
    along, across : float
        Along the direction of the strike and square to it.
    u_motion, u_contact : float
        Standard uncertainty of the speed from places and motion, and from when contact was.
    frames : int
        That it is fitted to.
    """

    along: float
    across: float
    u_motion: float
    u_contact: float
    frames: int

    @property
    def speed(self) -> float:
        """Speed, in m/s."""
        return math.hypot(self.along, self.across)


def speed_at_contact(path: Path, contact: Contact) -> AtContact:
    """Return the speed at contact.

    Parameters
    ----------
    path : Path
        With five frames before the earliest contact at least.
    contact : Contact
    """
    usual = usual_drive(path.times, path.way)
    before = np.searchsorted(path.times, contact.instants - _MARGIN, side="right")
    before = np.maximum(before, FEWEST)
    weights, means, doubts, frames = [], [], [], []
    for count in np.unique(before):
        chosen = before == count
        weight = contact.weights[chosen]
        if weight.sum() < _LIGHT:
            continue
        part = path.part(_window(path, int(count)))
        at = contact.instants[chosen]
        along, across = (
            smooth_motion(part.times, place, u, at, usual)
            for place, u in ((part.way, part.u_way), (part.across, part.u_across))
        )
        weights.append(weight)
        means.append(np.stack([along.speed, across.speed]))
        doubts.append(np.stack([along.u_speed, across.u_speed]))
        frames.append(np.full(len(at), len(part.times)))
    weight = np.concatenate(weights)
    weight /= weight.sum()
    mean, doubt = np.concatenate(means, axis=1), np.concatenate(doubts, axis=1)
    centre = mean @ weight
    unit = centre / np.hypot(*centre)
    spread = (mean - centre[:, None]).T @ unit
    return AtContact(
        along=float(centre[0]),
        across=float(centre[1]),
        u_motion=math.sqrt(float(weight @ ((doubt.T * unit) ** 2).sum(axis=1))),
        u_contact=math.sqrt(float(weight @ spread**2)),
        frames=round(float(weight @ np.concatenate(frames))),
    )


def _window(path: Path, count: int) -> slice:
    """Return the last frames of the first so many."""
    first = int(np.searchsorted(path.times, path.times[count - 1] - _WINDOW))
    return slice(max(0, min(max(first, count - _MOST_FRAMES), count - FEWEST)), count)
