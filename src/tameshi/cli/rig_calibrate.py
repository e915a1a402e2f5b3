"""tameshi rig calibrate: from known loads to a calibration, and what they show of the chain."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import note, say

if TYPE_CHECKING:
    from tameshi.rig import Calibration, Proof

SCHEMA = "tameshi.calibration/1"


def calibrate(
    points: Annotated[Path, typer.Argument(help="Table of known loads and readings; units in the headings.")],
    degree: Annotated[int, typer.Option("--degree", help="1 for a straight line, 2 for a curve.")] = 1,
    load_u: Annotated[
        str, typer.Option("--load-u", help='Relative standard uncertainty of the loads, "0.1 %".')
    ] = "0 %",
    gravity: Annotated[
        str | None,
        typer.Option("--gravity", help='Local gravity, "9.812 m/s2", where loads are masses.'),
    ] = None,
    rig: given.Rig = None,
    as_json: given.Json = False,
) -> None:
    """Turn known loads and readings into a [calibration] table for the rig file."""
    from tameshi.cli.calibration_points import read_points
    from tameshi.cli.measuring import load_rig
    from tameshi.quantity import parse_quantity
    from tameshi.rig import (
        calibration_table,
        fit_calibration,
        local_gravity,
        prove_calibration,
        weight_of_mass,
    )

    chain = load_rig(rig) if rig is not None else None
    stated = parse_quantity(gravity, "acceleration") if gravity is not None else None
    pull = weight_of_mass(local_gravity(stated))
    found = read_points(points, gravity=pull.value, rig=chain)
    relative_u = abs(parse_quantity(load_u, "ratio"))
    if found.are_masses:
        relative_u = math.hypot(relative_u, pull.u / pull.value)
    series = found.series
    fitted = fit_calibration(series.loads, series.readings, degree=degree, load_u=relative_u)
    proof = prove_calibration(series, fitted, step=chain.converter.step if chain else 0.0)
    if as_json:
        print_json(calibration_as_dict(fitted, proof))
        return
    say(calibration_table(fitted).rstrip(), "", *(f"# {line}" for line in described(fitted, proof)))
    if found.are_masses:
        note(
            f"Loads are masses: a kilogram is taken to weigh {pull.value:.6g} N, buoyancy in air taken off "
            f"(0.015 %), u {pull.u / pull.value:.2%}."
        )
    for flag in proof.flags:
        say(f"# ! {flag.message} [{flag.code}]")


def described(fitted: Calibration, proof: Proof) -> list[str]:
    """Return the figures of a calibration in lines for a person."""
    shares = (
        ("non-linearity, from the line through the ends", proof.end_point),
        ("non-linearity, from the best straight line", proof.best_line),
        ("hysteresis", proof.hysteresis),
        ("repeatability", proof.repeatability),
        ("zero return", proof.zero_return),
    )
    lines = ["in % of the reading under the greatest load:"]
    lines += [f"  {name}: {_share(value)}" for name, value in shares]
    lines += [
        f"residual standard deviation {fitted.residual_sd:.4g} V on {fitted.dof:g} degrees of freedom",
        f"lower limit factor (ASTM E74: 2.4 times that, as a force) {proof.lower_limit_factor:.5g} N",
        f"class A range from {proof.class_a:.6g} N ({_reached(proof.class_a, fitted)})",
        f"class AA range from {proof.class_aa:.6g} N ({_reached(proof.class_aa, fitted)})",
        "these figures are about forces that stand still and vouch for nothing in a strike",
    ]
    if proof.curvature_f is not None and proof.curvature_p is not None:
        lines.append(
            f"quadratic term: F = {proof.curvature_f:.4g}, chance if straight {proof.curvature_p:.2g}"
        )
    worst = max(proof.residuals, key=lambda one: abs(one.standardised))
    lines.append(f"farthest from the curve: line {worst.line}, {worst.standardised:+.1f} standard deviations")
    return lines


def calibration_as_dict(fitted: Calibration, proof: Proof) -> dict[str, Any]:
    """Return a calibration as the object that --json prints; readings in volts, loads in newtons."""
    return {
        "schema": SCHEMA,
        "degree": fitted.degree,
        "coefficients": list(fitted.coefficients),
        "covariance": [list(line) for line in fitted.covariance],
        "residual_sd": fitted.residual_sd,
        "dof": fitted.dof,
        "lowest": fitted.lowest,
        "greatest": fitted.greatest,
        "load_u": fitted.load_u,
        "nonlinearity": {"end_point": proof.end_point, "best_line": proof.best_line},
        "hysteresis": proof.hysteresis,
        "repeatability": proof.repeatability,
        "zero_return": proof.zero_return,
        "lower_limit_factor": proof.lower_limit_factor,
        "class_a_from": proof.class_a,
        "class_aa_from": proof.class_aa,
        "curvature": {"f": proof.curvature_f, "p": proof.curvature_p, "bend": proof.curvature},
        "residuals": [
            {
                "line": one.line,
                "load": one.load,
                "residual": one.residual,
                "standardised": one.standardised,
                "outlier": one.is_outlier,
            }
            for one in proof.residuals
        ],
        "flags": [flag.as_dict() for flag in proof.flags],
    }


def _share(value: float | None) -> str:
    return "not shown by these loads" if value is None else f"{100.0 * value:.3g} %"


def _reached(limit: float, fitted: Calibration) -> str:
    return "within these loads" if limit <= fitted.greatest else "beyond the greatest load: not reached"
