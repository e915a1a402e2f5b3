"""What a target does under a slow push in its middle: stress, stiffness, and the mass that moves with it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.reference import row
from tameshi.target.breaking import bending, plates
from tameshi.target.breaking.target import Target

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """Draws of what one target is, mechanically.

    Parameters
    ----------
    force : (n,) array
        That breaks it in a slow test. [N]
    stiffness : (n,) array
        Force per deflection of its middle. [N/m]
    moving_mass : (n,) array
        Mass that, at its middle, moves as the whole does. [kg]
    mass : (n,) array
        Between the supports. [kg]
    """

    force: FloatArray
    stiffness: FloatArray
    moving_mass: FloatArray
    mass: FloatArray


def stress_per_newton(target: Target) -> float:
    """Return the greatest bending stress under a force of one newton in the middle. [Pa/N]"""
    size = target.size
    if target.is_beam:
        return bending.rupture_stress(1.0, target.support.span or 0.0, size.width or 0.0, size.thickness)
    radius = float(row("breaking_choices", "contact radius")["value"])
    if size.diameter is not None:
        moments = plates.circle_moments(
            1.0, 0.5 * size.diameter, size.thickness, radius, clamped=target.is_clamped
        )
        return plates.moment_stress(max(moments), size.thickness)
    short, aspect = sides(target)
    if target.is_clamped:
        return max(plates.clamped_rectangle_stress(1.0, short, aspect, size.thickness, radius))
    return plates.rectangle_stress(1.0, short, aspect, size.thickness, radius)


def sides(target: Target) -> tuple[float, float]:
    """Return the short side of a rectangle held all round, and its long side over that. [m, 1]"""
    short, long = sorted((target.size.width or 0.0, target.size.length or 0.0))
    return short, long / short


def shortest_side(target: Target) -> float:
    """Return the shortest distance between supports. [m]"""
    if target.is_beam:
        return target.support.span or 0.0
    return target.size.diameter or sides(target)[0]


def bodies(target: Target, values: Mapping[str, FloatArray]) -> Bodies:
    """Return draws of what a single target is, mechanically.

    Parameters
    ----------
    target : Target
    values : mapping of str to (n,) array
        Draws of ``strength``, ``piece to piece``, ``modulus``, ``density``, ``thickness`` and, of a beam,
        ``span``.
    """
    strength = values["strength"] * values["piece to piece"]
    return _beam(target, strength, values) if target.is_beam else _plate(target, strength, values)


def _beam(target: Target, strength: FloatArray, values: Mapping[str, FloatArray]) -> Bodies:
    span, thickness = values["span"], values["thickness"]
    width = np.full_like(span, target.size.width)
    mass = values["density"] * span * width * thickness
    return Bodies(
        force=bending.breaking_force(strength, span, width, thickness),
        stiffness=bending.stiffness(values["modulus"], span, width, thickness),
        moving_mass=bending.BEAM_MASS * mass,
        mass=mass,
    )


def _plate(target: Target, strength: FloatArray, values: Mapping[str, FloatArray]) -> Bodies:
    """Return a plate held all round; how the contact's share of its stress hangs on thickness is left out."""
    size, thickness = target.size, values["thickness"]
    relative = thickness / size.thickness
    rigidity = plates.rigidity(1.0, size.thickness) * relative**3 * values["modulus"]
    if size.diameter is not None:
        side, area = 0.5 * size.diameter, 0.25 * math.pi * size.diameter**2
        alpha = plates.circle_point_deflection(clamped=target.is_clamped)
        mode = plates.circle_mode(clamped=target.is_clamped)
    else:
        side, aspect = sides(target)
        area = side * side * aspect
        mode = plates.rectangle_mode(aspect, clamped=target.is_clamped)
        clamped = target.is_clamped
        alpha = plates.clamped_point_deflection(aspect) if clamped else plates.point_deflection(aspect)
    stiffness = rigidity / (alpha * side * side)
    squared = mode * mode * rigidity / (values["density"] * thickness * side**4)
    return Bodies(
        force=strength * relative**2 / stress_per_newton(target),
        stiffness=stiffness,
        moving_mass=stiffness / squared,
        mass=values["density"] * thickness * area,
    )
