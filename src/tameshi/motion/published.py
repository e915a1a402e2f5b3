"""Strikers as published: effective mass and speed drawn together, as heavy strikes are slow ones.

Drawing them apart from the published means would make masses and speeds meet that no striker brings together,
and energies too scattered.
"""

from __future__ import annotations

import math

import numpy as np

from tameshi.motion.arrays import FloatArray
from tameshi.reference import row


def draw_strikers(key: str, count: int, generator: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Return effective masses in kg and speeds at contact in m/s, a pair a striker.

    Parameters
    ----------
    key : str
        Row of the reference table ``strikers``: ``"punch"``.
    count : int
    generator : numpy Generator

    Notes
    -----
    Lognormal, so that neither goes below nought, with the published means, standard deviations and
    correlation. Source: of the row.
    """
    entry = row("strikers", key)
    rel = [float(entry[f"{of}_sd"]) / float(entry[of]) for of in ("mass", "speed")]
    spread = [math.log1p(one**2) for one in rel]
    shared = math.log1p(float(entry["correlation"]) * rel[0] * rel[1])
    root = np.linalg.cholesky(np.array([[spread[0], shared], [shared, spread[1]]]))
    mean = np.array([math.log(float(entry[of])) for of in ("mass", "speed")]) - 0.5 * np.array(spread)
    drawn = np.exp(mean + generator.standard_normal((count, 2)) @ root.T)
    return drawn[:, 0], drawn[:, 1]
