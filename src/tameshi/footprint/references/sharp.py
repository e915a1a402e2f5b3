"""Where no reference is found, a picture blurred beyond use, or taken from too far, says why."""

from tameshi.errors import UnmeasurableError
from tameshi.footprint.picture.sharpness import look_for_blur
from tameshi.footprint.picture.view import View


def require_sharp(view: View) -> None:
    """Refuse a picture in which nothing is sharp.

    Raises
    ------
    UnmeasurableError
        ``too-blurred``, ``too-small`` where one small thing is sharp.
    """
    found = view.once(look_for_blur)
    if found.small is not None:
        left, top, right, bottom = found.small
        height, width = view.pixels.shape[:2]
        raise UnmeasurableError(
            "too-small",
            f"All that is sharp in the picture is something small around {0.5 * (left + right) * width:.0f},"
            f"{0.5 * (top + bottom) * height:.0f} pixels, {100.0 * (right - left):.0f} % of its width and "
            f"{100.0 * (bottom - top):.0f} % of its height: a sheet so small shows no print.",
            hint="Go nearer: the sheet, or print and ruler, should fill about two thirds of the picture.",
        )
    if found.blurred:
        raise UnmeasurableError(
            "too-blurred",
            "Nothing in the picture is sharp: it is out of focus, or the camera moved.",
            hint="Photograph it again in focus and with a steady hand, or lean the camera on something.",
        )
