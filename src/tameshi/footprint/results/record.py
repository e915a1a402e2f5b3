"""A measured print as machine-readable records: the public one, and the one a study keeps."""

from collections.abc import Callable
from typing import Any

from tameshi.footprint.results.model import Footprint, Patch
from tameshi.quantity import Measured
from tameshi.quantity import as_dict as quantity_dict
from tameshi.quantity import to_record as quantity_record

SCHEMA = "tameshi.footprint/1"

Told = Callable[[Measured], dict[str, Any]]


def as_dict(footprint: Footprint, *, file: str, sha256: str, size: tuple[int, int]) -> dict[str, Any]:
    """Return the public form, as ``footprint --json`` prints it.

    Parameters
    ----------
    footprint : Footprint
    file, sha256 : str
        Name of the original and its hash.
    size : (int, int)
        Width and height of the picture, in pixels.
    """
    told: dict[str, Any] = {
        "schema": SCHEMA,
        "image": {"file": file, "sha256": sha256, "width": size[0], "height": size[1]},
        "reference": {
            "kind": footprint.reference.kind,
            "scale": footprint.reference.scale,
            "tilt_deg": footprint.reference.tilt_deg,
            "residual_px": footprint.reference.residual_px,
        },
        **_figures(footprint, quantity_dict),
        "set_aside": [{"kind": one.kind, "area": one.area} for one in footprint.set_aside],
        "flags": [flag.as_dict() for flag in footprint.flags],
    }
    if footprint.corrections:
        told["corrections"] = {
            **footprint.corrections.as_dict(),
            "said": list(footprint.corrections.words()),
        }
    return told


def to_record(footprint: Footprint, *, file: str, sha256: str, size: tuple[int, int]) -> dict[str, Any]:
    """Return the stored form: the public one, its quantities with their sources, and what a report shows.

    ``tameshi.quantity.from_record`` reads the quantities back, correlations included.
    """
    record = as_dict(footprint, file=file, sha256=sha256, size=size)
    record["reference"]["said"] = footprint.reference.said
    if footprint.reference.lens is not None:
        record["reference"]["lens"] = {"k": footprint.reference.lens.k, "u": footprint.reference.lens.u}
    record |= _figures(footprint, quantity_record)
    record["patches"] = [
        {**told, **_sizes(patch)} for told, patch in zip(record["patches"], footprint.patches, strict=True)
    ]
    record["set_aside"] = [
        {"kind": one.kind, "area": one.area, "centroid": list(one.centroid)} for one in footprint.set_aside
    ]
    record["settings"] = footprint.settings.as_dict()
    return record


def _figures(footprint: Footprint, told: Told) -> dict[str, Any]:
    """Return what was measured, its quantities told in one way."""
    return {
        "contact_area": told(footprint.contact_area),
        "inked_area": told(footprint.inked_area),
        "patches": [_patch(patch, told) for patch in footprint.patches],
        "prints": [
            {
                "index": one.index,
                "contact_area": told(one.contact_area),
                "inked_area": told(one.inked_area),
                "centroid": list(one.centroid),
                "patches": list(one.patches),
            }
            for one in footprint.prints
        ],
        "spacings": [
            {"between": list(one.between), "distance": told(one.distance)} for one in footprint.spacings
        ],
    }


def _patch(patch: Patch, told: Told) -> dict[str, Any]:
    return {
        "index": patch.index,
        "contact_area": told(patch.contact_area),
        "inked_area": told(patch.inked_area),
        "centroid": list(patch.centroid),
        "major_axis": told(patch.axes.major),
        "minor_axis": told(patch.axes.minor),
        "direction": told(patch.axes.direction),
    }


def _sizes(patch: Patch) -> dict[str, float]:
    return {
        "width": patch.width,
        "height": patch.height,
        "perimeter": patch.perimeter,
        "hollow_area": patch.hollow_area,
    }
