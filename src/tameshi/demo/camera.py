"""A pinhole camera: where it is, where it puts places on a sheet, and what it sees of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.demo.prints import Picture
from tameshi.footprint import Sheet, sheet_layout

FloatArray = NDArray[np.float64]

FINER = 2
"""Rendered pixels for each final one, each way."""

_BAND = 256  # rows rendered at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where the camera is and what it looks like inside.

    Parameters
    ----------
    width, height : int
        Of the picture, in pixels.
    tilt : float
        Angle between the sheet's normal and the line of sight, in degrees.
    azimuth, roll : float
        Which way it leans over and how the picture is turned, in degrees.
    fill : float
        Share of the picture's height that the upright sheet would take, seen squarely.
    focal : float
        Focal length as a share of the picture's longer side.
    distortion : float
        Radial distortion: how far the picture's corners move outwards, as a share of their distance from
        the middle; elsewhere with the cube of that distance.
    """

    width: int = 3000
    height: int = 4000
    tilt: float = 0.0
    azimuth: float = 0.0
    roll: float = 0.0
    fill: float = 0.8
    focal: float = 0.75
    distortion: float = 0.0


def camera_matrix(paper: str, camera: Camera) -> FloatArray:
    """Return the (3, 3) matrix from metres on the paper to pixels; pixel middles are whole numbers."""
    sheet = sheet_layout(paper)
    return projection((sheet.width, sheet.height), camera)[:, (0, 1, 3)]


def projection(size: tuple[float, float], camera: Camera) -> FloatArray:
    """Return the (3, 4) matrix from metres on a sheet, and above it, to pixels.

    Parameters
    ----------
    size : (float, float)
        Width and height of the sheet, in metres; the camera looks at its middle.
    camera : Camera
    """
    rotation, distance, focal = camera_pose(size[1], camera)
    middle = ((camera.width - 1) / 2.0, (camera.height - 1) / 2.0)
    lens = np.array([[focal, 0.0, middle[0]], [0.0, focal, middle[1]], [0.0, 0.0, 1.0]])
    turned = rotation * (1.0, 1.0, -1.0)  # heights count towards the camera
    moved = np.array([0.0, 0.0, distance]) - turned @ (size[0] / 2.0, size[1] / 2.0, 0.0)
    matrix: FloatArray = lens @ np.column_stack([turned, moved])
    return matrix


def camera_pose(height: float, camera: Camera) -> tuple[FloatArray, float, float]:
    """Return the rotation from the sheet's axes to the camera's, its distance [m] and focal length [px].

    Parameters
    ----------
    height : float
        Of the sheet, in metres.
    camera : Camera
    """
    tilt, azimuth, roll = (math.radians(a) for a in (camera.tilt, camera.azimuth, camera.roll))
    leaning = _turn(azimuth, 2) @ _turn(tilt, 0) @ _turn(-azimuth, 2)
    focal = camera.focal * max(camera.width, camera.height)
    distance = focal * height / (camera.fill * camera.height)
    return np.asarray(_turn(roll, 2) @ leaning), distance, focal


def seen_through(layers: Picture, matrix: FloatArray, camera: Camera) -> Picture:
    """Warp layers into the camera, finer than its pixels, and average; a band of rows at a time."""
    finer = np.diag([FINER, FINER, 1.0]) @ shift(0.5)
    matrix = shift(-0.5) @ finer @ matrix
    bands = []
    for top in range(0, camera.height, _BAND):
        rows = min(_BAND, camera.height - top)
        down = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, -top * FINER], [0.0, 0.0, 1.0]])
        size = (camera.width * FINER, rows * FINER)
        fine = cv2.warpPerspective(layers, down @ matrix, size, flags=cv2.INTER_LINEAR)
        bands.append(cv2.resize(fine, (camera.width, rows), interpolation=cv2.INTER_AREA))
    return np.concatenate(bands)


def pixel_on_sheet(sheet: Sheet, camera: Camera) -> float:
    """Return what one pixel spans on the upright sheet, seen squarely, in metres."""
    return sheet.height / (camera.fill * camera.height)


def shift(by: float) -> FloatArray:
    """Return the (3, 3) matrix that moves by as much across as down."""
    return np.array([[1.0, 0.0, by], [0.0, 1.0, by], [0.0, 0.0, 1.0]])


def _turn(angle: float, axis: int) -> FloatArray:
    """Return the rotation about one axis."""
    c, s = math.cos(angle), math.sin(angle)
    one, other = [n for n in range(3) if n != axis]
    rotation = np.eye(3)
    rotation[one, one] = rotation[other, other] = c
    rotation[one, other], rotation[other, one] = -s, s
    return rotation
