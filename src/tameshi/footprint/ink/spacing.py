"""Distances between neighbouring patches of a print, from middle to middle."""

import math

import numpy as np

from tameshi.footprint.ink.axes import Lie, strains
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.reference import Reference
from tameshi.footprint.results.model import Spacing
from tameshi.quantity import Quantity, Source


def spacings_of(
    lies: tuple[Lie, ...], groups: tuple[tuple[int, ...], ...], reference: Reference
) -> tuple[Spacing, ...]:
    """Return the distances between neighbours in each print.

    Parameters
    ----------
    lies : tuple of Lie
        Of each patch.
    groups : tuple of tuple of int
        Numbers of the patches of each print, from 1.
    reference : Reference

    Notes
    -----
    Neighbours are the pairs of the shortest tree that holds a print together: from the patches joined so
    far always the nearest of the others is joined (Prim's algorithm).
    """
    pairs = [pair for group in groups for pair in _tree(group, lies)]
    return tuple(_spacing(pair, lies, reference) for pair in sorted(pairs))


def _tree(group: tuple[int, ...], lies: tuple[Lie, ...]) -> list[tuple[int, int]]:
    joined, rest = [group[0]], list(group[1:])
    pairs = []
    while rest:
        near, far = min(
            ((one, other) for one in joined for other in rest), key=lambda pair: _apart(pair, lies)
        )
        pairs.append((min(near, far), max(near, far)))
        joined.append(far)
        rest.remove(far)
    return pairs


def _apart(pair: tuple[int, int], lies: tuple[Lie, ...]) -> float:
    return float(np.hypot(*_between(pair, lies)))


def _between(pair: tuple[int, int], lies: tuple[Lie, ...]) -> FloatArray:
    return lies[pair[1] - 1].centre - lies[pair[0] - 1].centre


def _spacing(pair: tuple[int, int], lies: tuple[Lie, ...], reference: Reference) -> Spacing:
    distance = _apart(pair, lies)
    way = _between(pair, lies) / max(distance, 1e-9)
    parts = {source: distance * part for source, part in strains(way, reference).items()}
    for number in pair:
        source = Source(f"{reference.key}:place-{number}", "place of the patches")
        parts[source] = math.sqrt(max(0.0, float(way @ lies[number - 1].spread @ way)))
    return Spacing(pair, Quantity(distance, "m", parts))
