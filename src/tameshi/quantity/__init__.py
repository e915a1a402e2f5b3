"""Measured values: number, unit, standard uncertainty, degrees of freedom, interval and budget.

Everything inside tameshi is in coherent SI units. Units a person types are parsed here and shown
here, and nowhere else.
"""

from tameshi.quantity.coverage import LEVEL, coverage_factor, effective_dof, interval_of_sd
from tameshi.quantity.estimate import (
    from_covariance,
    from_readings,
    from_simultaneous_readings,
    rectangular,
    rectangular_u,
)
from tameshi.quantity.line import Line, fit_line, line_support
from tameshi.quantity.number import Measured, Missing, Quantity, combine, correlation, exact, total
from tameshi.quantity.parse import kind_of_unit, parse_quantity, split_quantity, unit_of_kind
from tameshi.quantity.ratio import ratio
from tameshi.quantity.record import as_dict, from_record, to_record
from tameshi.quantity.second_order import combine_second_order
from tameshi.quantity.show import Shown, System, display_unit, show, show_both, show_bound, written_unit
from tameshi.quantity.simulate import Draw, Simulated, normal, scaled_t, simulate, uniform
from tameshi.quantity.source import Source
from tameshi.quantity.unit import Unit, parse_unit

__all__ = [
    "LEVEL",
    "Draw",
    "Line",
    "Measured",
    "Missing",
    "Quantity",
    "Shown",
    "Simulated",
    "Source",
    "System",
    "Unit",
    "as_dict",
    "combine",
    "combine_second_order",
    "correlation",
    "coverage_factor",
    "display_unit",
    "effective_dof",
    "exact",
    "fit_line",
    "from_covariance",
    "from_readings",
    "from_record",
    "from_simultaneous_readings",
    "interval_of_sd",
    "kind_of_unit",
    "line_support",
    "normal",
    "parse_quantity",
    "parse_unit",
    "ratio",
    "rectangular",
    "rectangular_u",
    "scaled_t",
    "show",
    "show_both",
    "show_bound",
    "simulate",
    "split_quantity",
    "to_record",
    "total",
    "uniform",
    "unit_of_kind",
    "written_unit",
]
