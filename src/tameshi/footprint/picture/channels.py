"""The darkest and the brightest of a pixel's colours, quicker than by reducing the array."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Pixels


def lowest(pixels: Pixels) -> Pixels:
    """Return the least of red, green and blue, (h, w), of a picture, (h, w, 3)."""
    red, green, blue = cv2.split(pixels)
    return np.asarray(cv2.min(cv2.min(red, green), blue), np.uint8)


def highest(pixels: Pixels) -> Pixels:
    """Return the greatest of red, green and blue, (h, w), of a picture, (h, w, 3)."""
    red, green, blue = cv2.split(pixels)
    return np.asarray(cv2.max(cv2.max(red, green), blue), np.uint8)
