"""Published human tolerance, and what of it a measurement may be set beside.

Kind of quantity decides, never the unit. Nothing here is a verdict: a strike lies below, inside or above
what a study published, under the conditions of that study.
"""

from tameshi.tolerance.case import Case
from tameshi.tolerance.cautions import Warned, cautions_for, gaps_for
from tameshi.tolerance.compare import Comparability, Comparison, comparability_of, compare
from tameshi.tolerance.drawn import Drawn
from tameshi.tolerance.kind import Kind, KindFacts, kind_facts
from tameshi.tolerance.matching import matched
from tameshi.tolerance.modelled import Modelled
from tameshi.tolerance.placing import Placing, Share, percent, place, told_of
from tameshi.tolerance.published import (
    Published,
    Rate,
    Statistic,
    Status,
    Way,
    endpoints,
    published_values,
    regions_named,
    select,
)
from tameshi.tolerance.reading import (
    Reading,
    contact_force,
    local_pressure,
    local_pressure_of,
    mean_pressure,
)
from tameshi.tolerance.record import SCHEMA, case_as_dict, comparison_as_dict, published_as_dict
from tameshi.tolerance.relations import fracture_force_at, severity_line, skull_at
from tameshi.tolerance.span import Together, together
from tameshi.tolerance.spread import Lognormal, Spread, lognormal_of_mean, lognormal_of_median, spread_of
from tameshi.tolerance.surface import surfaces_of, unbroken_surfaces
from tameshi.tolerance.written import rounded, unit_for, written_range

__all__ = [
    "SCHEMA",
    "Case",
    "Comparability",
    "Comparison",
    "Drawn",
    "Kind",
    "KindFacts",
    "Lognormal",
    "Modelled",
    "Placing",
    "Published",
    "Rate",
    "Reading",
    "Share",
    "Spread",
    "Statistic",
    "Status",
    "Together",
    "Warned",
    "Way",
    "case_as_dict",
    "cautions_for",
    "comparability_of",
    "compare",
    "comparison_as_dict",
    "contact_force",
    "endpoints",
    "fracture_force_at",
    "gaps_for",
    "kind_facts",
    "local_pressure",
    "local_pressure_of",
    "lognormal_of_mean",
    "lognormal_of_median",
    "matched",
    "mean_pressure",
    "percent",
    "place",
    "published_as_dict",
    "published_values",
    "regions_named",
    "rounded",
    "select",
    "severity_line",
    "skull_at",
    "spread_of",
    "surfaces_of",
    "together",
    "told_of",
    "unbroken_surfaces",
    "unit_for",
    "written_range",
]
