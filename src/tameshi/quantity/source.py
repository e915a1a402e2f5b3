"""Where an error comes from, so that two results that share it can say so."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """One independent cause of error, with unit variance.

    Quantities that carry the same source carry the same error: it cancels in their ratio or adds
    up in their sum. Identity is the ``key``, which survives storage.

    Parameters
    ----------
    key : str
        Identity: the same key means the same error, in this run and in any other.
    name : str
        The line of the budget it is counted under, in the trade's words.
    dof : float
        Degrees of freedom of the estimate of its size.
    group : str
        Sources sized by one and the same estimate (the coefficients of one fit) share a group, and
        so count once when effective degrees of freedom are worked out. Empty: on its own.
    """

    key: str
    name: str
    dof: float = math.inf
    group: str = ""
