"""A prediction of breaking as a drawing: the force a target needs beside the force a strike brings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, show
from tameshi.report.curves import force_axes
from tameshi.report.drawing import Words
from tameshi.report.humps import Hump, NeedAndStrike
from tameshi.report.notation import Notation, notation_for
from tameshi.target.breaking import Outcome, Prediction, chance_in_words

FloatArray = NDArray[np.float64]
_BINS = 120
_SMOOTH = 4.0  # bins
_OUTERMOST = (0.002, 0.998)
_ROOM = 1.15


def breaking_drawing(
    prediction: Prediction, notation: Notation | None = None, *, key: str = "breaking", technique: str = ""
) -> NeedAndStrike:
    """Return the drawing of a prediction.

    Parameters
    ----------
    prediction : Prediction
    notation : Notation or None
        Units of the report; SI first where None.
    key : str
        Tells it from other drawings of a page.
    technique : str
        What is struck with, where that is known.

    Raises
    ------
    WrongUseError
        ``no-strike-given``.
    """
    outcome = _outcome(prediction)
    written = notation or notation_for("si", (outcome.needed, outcome.peak))
    draws = (outcome.needed_draws, outcome.peak_draws)
    low = min(float(np.quantile(each, _OUTERMOST[0])) for each in draws) / _ROOM
    high = max(float(np.quantile(each, _OUTERMOST[1])) for each in draws) * _ROOM
    return NeedAndStrike(
        words=_words(prediction, outcome, key, technique),
        axes=force_axes(written),
        ends=(low, high),
        humps=(_hump("needed", draws[0], low, high), _hump("strike", draws[1], low, high)),
    )


def _outcome(prediction: Prediction) -> Outcome:

    if prediction.outcome is None:
        raise WrongUseError(
            "no-strike-given",
            "Without a strike there is nothing to set beside the target.",
            hint="Give a strike.",
        )
    return prediction.outcome


def _hump(label: str, draws: FloatArray, low: float, high: float) -> Hump:
    middle = float(np.median(draws))
    if float(np.ptp(draws)) == 0.0:
        return Hump(label=label, force=np.array([middle]), height=np.ones(1), middle=middle)
    edges = np.linspace(np.log(low), np.log(high), _BINS + 1)
    counts = np.histogram(np.log(draws), bins=edges)[0].astype(np.float64)
    reach = np.arange(-int(4 * _SMOOTH), int(4 * _SMOOTH) + 1)
    kernel = np.exp(-0.5 * (reach / _SMOOTH) ** 2)
    smooth = np.convolve(counts, kernel / kernel.sum(), mode="same")
    force = np.exp(0.5 * (edges[:-1] + edges[1:]))
    return Hump(label=label, force=force, height=smooth / smooth.max(), middle=middle)


def _words(prediction: Prediction, outcome: Outcome, key: str, technique: str) -> Words:
    needed, peak = (_shown(quantity) for quantity in (outcome.needed, outcome.peak))
    about = ", ".join(filter(None, (technique, prediction.target.name)))
    return Words(
        key=key,
        title=f"Force needed and force brought, {about}",
        alternative=(
            f"Peak force on a rigid plate. Needed to break the target: {needed}. The strike: {peak}. Chance "
            "that "
            f"it breaks: {chance_in_words(outcome.chance)}."
        ),
        caption=(
            "How likely which peak force is, on a rigid plate: what the target needs (solid) and what the "
            "strike "
            "brings (dashed). Where they overlap it may go either way. A chance is no promise."
        ),
    )


def _shown(quantity: Quantity) -> str:
    return str(show(quantity))
