"""A measured print as machine-readable records: the public one, and the one a study keeps."""

from typing import Any

from tameshi.footprint.results.model import Footprint, Patch
from tameshi.quantity import Measured
from tameshi.quantity import as_dict as quantity_dict
from tameshi.quantity import to_record as quantity_record

SCHEMA = "tameshi.footprint/1"


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
        "contact_area": quantity_dict(footprint.contact_area),
        "inked_area": quantity_dict(footprint.inked_area),
        "patches": [
            {
                "index": patch.index,
                "contact_area": quantity_dict(patch.contact_area),
                "inked_area": quantity_dict(patch.inked_area),
                "centroid": list(patch.centroid),
            }
            for patch in footprint.patches
        ],
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
    record["contact_area"] = quantity_record(footprint.contact_area)
    record["inked_area"] = quantity_record(footprint.inked_area)
    record["patches"] = [_patch(patch) for patch in footprint.patches]
    record["set_aside"] = [
        {"kind": one.kind, "area": one.area, "centroid": list(one.centroid)} for one in footprint.set_aside
    ]
    record["settings"] = footprint.settings.as_dict()
    return record


def _patch(patch: Patch) -> dict[str, Any]:
    areas: dict[str, Measured] = {"contact_area": patch.contact_area, "inked_area": patch.inked_area}
    return {
        "index": patch.index,
        **{name: quantity_record(area) for name, area in areas.items()},
        "centroid": list(patch.centroid),
        "width": patch.width,
        "height": patch.height,
        "perimeter": patch.perimeter,
        "hollow_area": patch.hollow_area,
    }
