"""Motion from film: what is followed, how fast it goes, how far it reaches, and the mass behind it.

The steps, in order: ``follow`` (a pattern through the frames), ``scale`` and ``view`` (pixels to metres, and
what the camera's standing leaves in doubt), ``contact``, ``measure``.
"""

from tameshi.motion.begin import Begun, Follow, begin, parse_follow
from tameshi.motion.contact import Contact, contact_from_stop
from tameshi.motion.effective_mass import EffectiveMass, effective_mass
from tameshi.motion.film import Film
from tameshi.motion.follow import follow
from tameshi.motion.markers import find_squares, still_marker
from tameshi.motion.measure import measure_motion
from tameshi.motion.overlay import draw_track, track_png
from tameshi.motion.precision import FEWEST as FEWEST_FILMS
from tameshi.motion.precision import Precision, Scatter, precision
from tameshi.motion.published import draw_strikers
from tameshi.motion.record import (
    SCHEMA,
    TRACK_HEADINGS,
    frame_of_contact,
    motion_as_dict,
    track_as_dict,
    track_rows,
)
from tameshi.motion.scale import KnownLength, Scale, parse_length, scale_of_length, scale_of_square
from tameshi.motion.smooth import Course, smooth_motion
from tameshi.motion.sound import Sound, contact_from_sound
from tameshi.motion.strike_motion import FIGURES, StrikeMotion
from tameshi.motion.told import contact_at_frame, contact_from_flash
from tameshi.motion.track import Track
from tameshi.motion.view import (
    Standing,
    perspective_error,
    rolling_shutter_error,
    slant_error,
    speed_u_of_line,
    travel_per_frame,
)

__all__ = [
    "FEWEST_FILMS",
    "FIGURES",
    "SCHEMA",
    "TRACK_HEADINGS",
    "Begun",
    "Contact",
    "Course",
    "EffectiveMass",
    "Film",
    "Follow",
    "KnownLength",
    "Precision",
    "Scale",
    "Scatter",
    "Sound",
    "Standing",
    "StrikeMotion",
    "Track",
    "begin",
    "contact_at_frame",
    "contact_from_flash",
    "contact_from_sound",
    "contact_from_stop",
    "draw_strikers",
    "draw_track",
    "effective_mass",
    "find_squares",
    "follow",
    "frame_of_contact",
    "measure_motion",
    "motion_as_dict",
    "parse_follow",
    "parse_length",
    "perspective_error",
    "precision",
    "rolling_shutter_error",
    "scale_of_length",
    "scale_of_square",
    "slant_error",
    "smooth_motion",
    "speed_u_of_line",
    "still_marker",
    "track_as_dict",
    "track_png",
    "track_rows",
    "travel_per_frame",
]
