"""Repeated trials: what is typical, what differs and by how much, how repeatable, how many are needed."""

from tameshi.comparison.claim import Claim, Told, claim_of
from tameshi.comparison.compare import Asked, Compared, Comparison, Group, compare
from tameshi.comparison.design import Design, design_of
from tameshi.comparison.difference import Difference, difference
from tameshi.comparison.effect import Exceeding, small_sample_factor
from tameshi.comparison.ellipse import Together, together
from tameshi.comparison.mixed import Components, components_of
from tameshi.comparison.one_way import OneWay, one_way
from tameshi.comparison.plan import Plan, plan_athletes, plan_strikes, power_of_one_mean, power_of_two_means
from tameshi.comparison.planned import Planned, Wanted, planned
from tameshi.comparison.record import SCHEMA, comparison_as_dict
from tameshi.comparison.reliability import Correlation, Reliability, reliability, table_of
from tameshi.comparison.resample import bca_interval, mean_difference
from tameshi.comparison.sample import Sample, outliers_of, sample_of
from tameshi.comparison.several import holm
from tameshi.comparison.trend import Band, Trend, band_of, trend
from tameshi.comparison.trial import Trial

__all__ = [
    "SCHEMA",
    "Asked",
    "Band",
    "Claim",
    "Compared",
    "Comparison",
    "Components",
    "Correlation",
    "Design",
    "Difference",
    "Exceeding",
    "Group",
    "OneWay",
    "Plan",
    "Planned",
    "Reliability",
    "Sample",
    "Together",
    "Told",
    "Trend",
    "Trial",
    "Wanted",
    "band_of",
    "bca_interval",
    "claim_of",
    "compare",
    "comparison_as_dict",
    "components_of",
    "design_of",
    "difference",
    "holm",
    "mean_difference",
    "one_way",
    "outliers_of",
    "plan_athletes",
    "plan_strikes",
    "planned",
    "power_of_one_mean",
    "power_of_two_means",
    "reliability",
    "sample_of",
    "small_sample_factor",
    "table_of",
    "together",
    "trend",
]
