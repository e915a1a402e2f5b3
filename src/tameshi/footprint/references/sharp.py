"""Where no reference is found, a picture blurred beyond use says why."""

from tameshi.errors import UnmeasurableError
from tameshi.footprint.picture.sharpness import is_blurred
from tameshi.footprint.picture.view import View


def require_sharp(view: View) -> None:
    """Refuse a picture in which nothing is sharp.

    Raises
    ------
    UnmeasurableError
        ``too-blurred``.
    """
    if view.once(is_blurred):
        raise UnmeasurableError(
            "too-blurred",
            "Nothing in the picture is sharp: it is out of focus, or the camera moved.",
            hint="Photograph it again in focus and with a steady hand, or lean the camera on something.",
        )
