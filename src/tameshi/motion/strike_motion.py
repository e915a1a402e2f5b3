"""What a film tells of one strike: the figures, and what they rest on."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.errors import Flag
from tameshi.motion.contact import Contact
from tameshi.motion.path import Path
from tameshi.motion.scale import Scale
from tameshi.motion.smooth import Course
from tameshi.motion.track import Track
from tameshi.quantity import Measured


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StrikeMotion:
    """One strike, measured on film.

    Parameters
    ----------
    speed_at_contact, peak_speed : Quantity or Missing
        m/s, in space.
    peak_acceleration : Quantity or Missing
        Greatest rise of the speed before contact, m/s2.
    movement_time : Quantity or Missing
        From where the speed first passes a twentieth of its peak to contact, s.
    reach : Quantity or Missing
        Straight from where the hand was held to where it was at contact, m.
    impact_right, impact_up : Quantity or Missing
        Where the marker was at contact, from where the scale was taken, m.
    rebound_speed : Quantity or Missing
        Speed back off the target, m/s; negative where the hand goes on.
    contact : Contact
    path : Path
    course : Course
        Along the way, before contact.
    track : Track
    scale : Scale
    frames_before : int
        Frames that the speed at contact is fitted to.
    flags : tuple of Flag
    """

    speed_at_contact: Measured
    peak_speed: Measured
    peak_acceleration: Measured
    movement_time: Measured
    reach: Measured
    impact_right: Measured
    impact_up: Measured
    rebound_speed: Measured
    contact: Contact
    path: Path
    course: Course
    track: Track
    scale: Scale
    frames_before: int
    flags: tuple[Flag, ...] = ()

    def figure(self, name: str) -> Measured:
        """Return a figure by its name."""
        found: Measured = getattr(self, name)
        return found


FIGURES = (
    "speed_at_contact",
    "peak_speed",
    "peak_acceleration",
    "movement_time",
    "reach",
    "impact_right",
    "impact_up",
    "rebound_speed",
)
"""Names of the figures, in the order in which they are shown."""
