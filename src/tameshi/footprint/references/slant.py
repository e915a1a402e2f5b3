"""How far from square a sheet may be seen."""

from tameshi.errors import Flag, UnmeasurableError

_WORTH_SAYING, _STEEPEST = 40.0, 65.0  # degrees


def slant_flags(angle: float) -> tuple[Flag, ...]:
    """Return a flag where a sheet is seen at a slant.

    Parameters
    ----------
    angle : float
        Between the paper's normal and the line of sight, in degrees.

    Raises
    ------
    UnmeasurableError
        ``too-tilted``.
    """
    if angle > _STEEPEST:
        raise UnmeasurableError(
            "too-tilted",
            f"The sheet is seen at {angle:.0f} degrees from square.",
            hint=f"Photograph it from above, tilted by less than {_WORTH_SAYING:.0f} degrees.",
        )
    if angle <= _WORTH_SAYING:
        return ()
    return (Flag("tilted", f"The sheet is seen at {angle:.0f} degrees from square."),)
