"""Relations between published values that a strike's own area or duration can be put into."""

from __future__ import annotations

from tameshi.reference import row
from tameshi.tolerance.kind import Kind
from tameshi.tolerance.published import Published, Rate, Statistic, Status, Way


def fracture_force_at(area: float) -> float | None:
    """Return the force that fractured the side of the skull, between the two areas of one study. [N]

    Parameters
    ----------
    area : float
        Of the contact. [m2]

    Returns
    -------
    float or None
        None outside the areas of the study: smaller ones punch through instead.

    Notes
    -----
    Source: the two means of Allsop et al. 1991 joined by a power law; derived here.
    """
    known = row("tolerance_relations", "area exponent")
    least, most = float(known["area_low"]), float(known["area_high"])
    if not least <= area <= most:
        return None
    return float(known["force"] * (area / least) ** known["exponent"])


def skull_at(area: float) -> Published | None:
    """Return that force as a row to compare with, half less to half more; None outside the study's areas."""
    force = fracture_force_at(area)
    if force is None:
        return None
    known = row("tolerance_relations", "area exponent")
    return Published(
        key="sk-at-area",
        region="skull",
        structure="temporo-parietal, at the area of this contact",
        kind=Kind.CONTACT_FORCE,
        value=force,
        low=(1.0 - known["share"]) * force,
        high=(1.0 + known["share"]) * force,
        unit="N",
        factor=1.0,
        statistic=Statistic.INTERPOLATED,
        risk=None,
        count=None,
        outcome="fracture",
        endpoint="fracture",
        loading="flat plate on a fixed head, between two sizes",
        rate=Rate.IMPACT,
        area=area,
        pulse=(None, None),
        surfaces=(),
        surrogate="31 cadaver heads in both series",
        status=Status.DERIVED,
        way=Way.ONE_SIDE,
        source=str(known["source"]),
        locator="power of 0.39 between the means of two plates",
        note="One study, one place of the skull, a fixed head; the share either way is a judgement.",
    )


def severity_line(duration: float) -> float | None:
    """Return the mean head acceleration whose severity index reaches its limit within a pulse. [g0]

    Parameters
    ----------
    duration : float
        Of a square pulse. [s]

    Returns
    -------
    float or None
        None outside the durations the line holds for.

    Notes
    -----
    Source: Gadd 1966 as defined in Chou and Nyquist 1974: index = a^2.5 T.
    """
    line = row("tolerance_relations", "severity line")
    if not line["shortest"] <= duration <= line["longest"]:
        return None
    return float((line["index"] / duration) ** (1.0 / line["exponent"]))
