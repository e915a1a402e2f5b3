"""The machine-readable form of comparisons, as docs/results.md lays it down."""

from __future__ import annotations

from typing import Any

from tameshi.comparison.compare import Compared, Comparison, Group
from tameshi.comparison.plan import Plan
from tameshi.comparison.planned import Planned
from tameshi.comparison.reliability import Correlation
from tameshi.quantity import as_dict

SCHEMA = "tameshi.comparison/1"


def comparison_as_dict(comparison: Comparison) -> dict[str, Any]:
    """Return a comparison as the object that ``tameshi compare --json`` prints."""
    found, wanted = comparison.components, comparison.wanted
    return {
        "groups": [_group(group) for group in comparison.groups],
        "pairs": [_pair(pair) for pair in comparison.pairs],
        "components": None
        if found is None
        else {
            "athlete_sd": found.athlete_sd,
            "session_sd": found.session_sd,
            "strike_sd": found.strike_sd,
            "means": dict(found.means),
            "gaps": {name: {"value": gap, "u": u} for name, (gap, u) in found.gaps.items()},
        },
        "why_no_components": comparison.why_no_components,
        "wanted": None if wanted is None else {"share": wanted.share, "power": wanted.power},
    }


def _group(group: Group) -> dict[str, Any]:
    sample, trend, repeated = group.sample, group.trend, group.reliability
    return {
        "name": group.name,
        "trials": len(sample.trials),
        "athletes": sample.athletes,
        "sessions": sample.sessions,
        "mean": as_dict(sample.mean),
        "mean_unit": sample.unit,
        "mean_reach": sample.reach,
        "sd": sample.sd,
        "sd_dof": sample.sd_dof,
        "sd_interval": sample.sd_interval,
        "total_sd": sample.total_sd,
        "cv": sample.cv,
        "human_sd": sample.human_sd,
        "measurement_u": sample.measurement_u,
        "median": sample.median,
        "least": sample.least,
        "greatest": sample.greatest,
        "best": sample.best,
        "outliers": [sample.trials[place].label for place in sample.outliers],
        "trend": None
        if trend is None
        else {
            "per_strike": as_dict(trend.per_strike),
            "over_session": trend.over_session,
            "over_interval": trend.over_interval,
            "p": trend.p,
            "p_of_several": group.trend_p,
            "reach": trend.reach,
        },
        "between_sessions": None
        if group.sessions is None
        else {"f": group.sessions.f, "p": group.sessions.p, "dofs": list(group.sessions.dofs)},
        "reliability": None
        if repeated is None
        else {
            "agreement": _correlation(repeated.agreement),
            "consistency": _correlation(repeated.consistency),
            "sem_agreement": repeated.sem_agreement,
            "sem_consistency": repeated.sem_consistency,
            "smallest_change": repeated.smallest_change,
            "smallest_consistent": repeated.smallest_consistent,
            "subjects": repeated.subjects,
            "occasions": repeated.occasions,
            "left_out": repeated.left_out,
        },
    }


def _correlation(one: Correlation) -> dict[str, float]:
    return {"value": one.value, "low": one.low, "high": one.high}


def _pair(pair: Compared) -> dict[str, Any]:
    found, claim = pair.difference, pair.claim()
    head = {"one": pair.one, "other": pair.other}
    tail = {
        "strength": claim.strength,
        "words": claim.words,
        "limits": list(claim.limits),
        "plan": None if pair.plan is None else _planned(pair.plan),
    }
    if found is None:
        return {**head, "difference": None, "why": pair.why, **tail}
    exceeding, effect = found.exceeding, found.hedges_g
    return {
        **head,
        "difference": as_dict(found.value),
        "relative": found.relative,
        "p": found.p,
        "p_of_several": pair.p_of_several,
        "hedges_g": None
        if effect is None
        else {"value": effect.value, "low": effect.low, "high": effect.high},
        "exceeding": None
        if exceeding is None
        else {"value": exceeding.value, "low": exceeding.low, "high": exceeding.high},
        "bootstrap": found.bootstrap,
        "unit": found.design.unit,
        "paired": found.design.is_paired,
        "units": len(found.design.cells),
        "trials": list(found.counts),
        "left_out": found.design.left_out,
        "reach": found.design.reach,
        "doubt": found.design.doubt,
        **tail,
    }


def _planned(planned: Planned) -> dict[str, Any]:
    return {
        "gap": planned.gap,
        "sd": planned.sd,
        "strikes": _plan(planned.strikes),
        "strikes_range": planned.strikes_range,
        "leaning_sd": planned.leaning_sd,
        "strikes_each": planned.each or None,
        "athletes": _plan(planned.athletes),
        "why": planned.why,
    }


def _plan(plan: Plan | None) -> dict[str, Any] | None:
    if plan is None:
        return None
    return {
        "by_power": plan.by_power,
        "by_width": plan.by_width,
        "power": plan.power,
        "unit": plan.unit,
        "words": plan.words,
    }
