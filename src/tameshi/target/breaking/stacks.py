"""Several boards or tiles at once: touching, glued, or apart with spacers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tameshi.target.breaking.bending import BEAM_MASS

FloatArray = NDArray[np.float64]
MOST = 20
"""Boards that are counted; nobody's model is believed beyond."""


def stack_factors(count: int, between: str) -> tuple[float, float]:
    """Return what a stack multiplies breaking force and stiffness of one by.

    Parameters
    ----------
    count : int
    between : str
        ``touching``: all bend together and slide on each other, force and stiffness n times. ``glued``: one
        solid, n^2 and n^3. ``spaced``: one after another, once.

    Notes
    -----
    Beam theory without friction. Energy, force squared over stiffness, is n times that of one either way.
    """
    powers = {"touching": (1, 1), "glued": (2, 3), "spaced": (0, 0)}[between]
    return float(count) ** powers[0], float(count) ** powers[1]


def boards_broken(
    speed: float, striker_mass: float, board_mass: float, energy: float, *, most: int = MOST
) -> int:
    """Return how many boards with spacers a striker breaks, one after another.

    Parameters
    ----------
    speed : float
        At the first board. [m/s]
    striker_mass, board_mass : float
        [kg]
    energy : float
        To break one board. [J]
    most : int

    Notes
    -----
    At each board the striker takes its moving mass along (momentum is kept), then pays the energy to break
    it. What falling pieces do to the next board is left out: real stacks need rather less.
    """
    together = striker_mass + BEAM_MASS * board_mass
    for broken in range(most):
        shared = (striker_mass * speed / together) ** 2 - 2.0 * energy / together
        if shared < 0.0:
            return broken
        speed = shared**0.5
    return most


def speed_for_boards(
    count: int, striker_mass: FloatArray, moving_mass: FloatArray, energy: FloatArray
) -> FloatArray:
    """Return the least speed that breaks a whole stack with spacers, as :func:`boards_broken` has it. [m/s]

    Parameters
    ----------
    count : int
    striker_mass, moving_mass : (n,) array
        Of the striker, and of what moves of a board. [kg]
    energy : (n,) array
        To break one board. [J]
    """
    together = striker_mass + moving_mass
    speed: FloatArray = np.zeros_like(energy)
    for _ in range(count):
        speed = np.sqrt(speed * speed + 2.0 * energy / together) * together / striker_mass
    return speed
