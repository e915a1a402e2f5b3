"""Things that break: what a board, tile, slab or plate needs, and the chance that a strike breaks it."""

from tameshi.target.breaking.bending import (
    BEAM_MASS,
    breaking_force,
    breaking_strength,
    energy_to_break,
    natural_frequency,
    period,
    rupture_of_strength,
    rupture_stress,
    stiffness,
    third_point_rupture,
)
from tameshi.target.breaking.coupled import contact_stiffness, passed_on, speed_to_break, striker_speed
from tameshi.target.breaking.file import is_target_file, parse_target
from tameshi.target.breaking.material import Material, material_of
from tameshi.target.breaking.predict import SURE, Needs, Outcome, Prediction, predict
from tameshi.target.breaking.rate import law_factor, rate_factor, stress_level
from tameshi.target.breaking.record import (
    bound_of,
    chance_in_words,
    draws_of,
    prediction_as_dict,
    prediction_from,
    prediction_to_record,
)
from tameshi.target.breaking.shock import force_factor, half_sine_factor
from tameshi.target.breaking.stacks import boards_broken, speed_for_boards, stack_factors
from tameshi.target.breaking.statics import stress_per_newton
from tameshi.target.breaking.strike import (
    Course,
    PlateStrike,
    SeenStrike,
    course_of,
    measured_strike,
    typed_strike,
)
from tameshi.target.breaking.target import Size, Stack, Support, Target, Tested, Wood
from tameshi.target.breaking.variables import Between, Drawn, Lognormal, Weibull, draw, shares
from tameshi.target.breaking.wood import at_moisture, species

__all__ = [
    "BEAM_MASS",
    "SURE",
    "Between",
    "Course",
    "Drawn",
    "Lognormal",
    "Material",
    "Needs",
    "Outcome",
    "PlateStrike",
    "Prediction",
    "SeenStrike",
    "Size",
    "Stack",
    "Support",
    "Target",
    "Tested",
    "Weibull",
    "Wood",
    "at_moisture",
    "boards_broken",
    "bound_of",
    "breaking_force",
    "breaking_strength",
    "chance_in_words",
    "contact_stiffness",
    "course_of",
    "draw",
    "draws_of",
    "energy_to_break",
    "force_factor",
    "half_sine_factor",
    "is_target_file",
    "law_factor",
    "material_of",
    "measured_strike",
    "natural_frequency",
    "parse_target",
    "passed_on",
    "period",
    "predict",
    "prediction_as_dict",
    "prediction_from",
    "prediction_to_record",
    "rate_factor",
    "rupture_of_strength",
    "rupture_stress",
    "shares",
    "species",
    "speed_for_boards",
    "speed_to_break",
    "stack_factors",
    "stiffness",
    "stress_level",
    "stress_per_newton",
    "striker_speed",
    "third_point_rupture",
    "typed_strike",
]
