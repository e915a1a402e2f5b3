"""How many pictures a file holds beside the one that is read."""

from __future__ import annotations

from PIL import Image, TiffImagePlugin

_SMALLER_COPY = 254  # whose lowest bit says that a page is another one made smaller
_MOST = 64  # counted at most
_FORMS = {"TIFF": "pages", "WEBP": "frames", "PNG": "frames"}


def count_pictures(header: Image.Image) -> int:
    """Return the number of pictures in a file; smaller copies for show are not counted.

    Parameters
    ----------
    header : Image
        Left at its first picture.
    """
    if isinstance(header, TiffImagePlugin.TiffImageFile):
        return _pages(header)
    # of a JPEG with several, the others are what a phone keeps beside its photo
    return int(getattr(header, "n_frames", 1)) if header.format in _FORMS else 1


def word_for(header: Image.Image) -> str:
    """Return what the pictures of such a file are called."""
    return _FORMS.get(str(header.format), "pictures")


def _pages(header: TiffImagePlugin.TiffImageFile) -> int:
    whole = 0
    for place in range(_MOST):
        try:
            header.seek(place)
        except (EOFError, OSError, SyntaxError, ValueError, KeyError, TypeError):
            break
        if place == 0 or not int(header.tag_v2.get(_SMALLER_COPY, 0)) & 1:
            whole += 1
    header.seek(0)
    return whole
