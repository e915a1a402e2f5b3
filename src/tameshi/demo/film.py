"""Film an invented strike with a camera whose every fault is known.

A hand with a marker moves through space; a camera that need not be square sees it. Every row of every frame
is exposed over its own stretch of time, light is added up as light, and only then noise, the curve of stored
values and the file's compression come. The truth is the speed that ``film_motion`` was given.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.demo.film_motion import FloatArray, Thrust, way_at

Pixels = NDArray[np.uint8]
Light = NDArray[np.float32]

_FINER = 2  # samples a pixel across and down, of what moves
_FINER_STILL = 8  # and of what stays
_STEPS_A_PIXEL = 0.75  # instants an exposure is added up from, for each pixel of smear
_FEWEST_STEPS, _MOST_STEPS = 3, 40
_STORED_POWER = 1.0 / 2.2
_NOISE_ROOM = 211  # pixels by which the noise is larger than a frame
_MARGIN = 3  # pixels around the hand that are worked out as well


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmCamera:
    """A camera that films.

    Parameters
    ----------
    width, height : int
        Of the picture, in pixels.
    focal : float
        Focal length in pixels.
    distance : float
        From the lens to the plane that holds the scale, in metres.
    pan, pitch : float
        By how many degrees it is not square to that plane.
    rate : float
        Frames a second.
    exposure : float
        Seconds each row is exposed.
    read_out : float
        Seconds from the first row's exposure to the last row's.
    blur : float
        Standard deviation of the lens's blur, in pixels.
    noise : float
        Standard deviation of the noise of stored values, of 255.
    """

    width: int = 960
    height: int = 540
    focal: float = 1400.0
    distance: float = 3.0
    pan: float = 0.0
    pitch: float = 0.0
    rate: float = 240.0
    exposure: float = 1.0 / 1000.0
    read_out: float = 0.0
    blur: float = 0.6
    noise: float = 2.0

    def project(self, points: FloatArray) -> FloatArray:
        """Return where points of space are in the picture, (n, 2) pixels; space as the plane has it.

        Space: x to the right, y down, in metres from where the camera points at; z away from the camera.
        """
        pan, pitch = math.radians(self.pan), math.radians(self.pitch)
        turn = np.array(
            [[math.cos(pan), 0.0, -math.sin(pan)], [0.0, 1.0, 0.0], [math.sin(pan), 0.0, math.cos(pan)]]
        )
        nod = np.array(
            [
                [1.0, 0.0, 0.0],
                [0.0, math.cos(pitch), -math.sin(pitch)],
                [0.0, math.sin(pitch), math.cos(pitch)],
            ]
        )
        seen = points @ (nod @ turn).T + (0.0, 0.0, self.distance)
        middle = 0.5 * np.array([self.width - 1.0, self.height - 1.0])
        return np.asarray(self.focal * seen[:, :2] / seen[:, 2:] + middle)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmScene:
    """What is filmed.

    Parameters
    ----------
    thrust : Thrust
    contact_at : (float, float)
        Where contact happens, in metres right and down of where the camera points at.
    off_plane : float
        How much farther away than the scale's plane that is, in metres.
    out_of_plane : float
        Degrees by which the strike goes away from the camera.
    upwards : float
        Degrees by which the strike goes up.
    marker : float
        Diameter of the round marker on the hand, in metres; 0 leaves the hand's own texture.
    fist_marker : int or None
        Identity of an ArUco marker on the hand instead.
    board : (float, float)
        Where the board with the scale stands.
    board_marker : float
        Side of the ArUco marker on it, in metres.
    seconds_before, seconds_after : float
        What the film shows before the hand moves and after contact.
    phase : float
        Where between two frames contact falls, 0 to 1.
    """

    thrust: Thrust = field(default_factory=Thrust)
    contact_at: tuple[float, float] = (0.35, -0.02)
    off_plane: float = 0.0
    out_of_plane: float = 0.0
    upwards: float = 0.0
    marker: float = 0.04
    fist_marker: int | None = None
    board: tuple[float, float] = (0.0, 0.32)
    board_marker: float = 0.1
    seconds_before: float = 0.03
    seconds_after: float = 0.04
    phase: float = 0.4

    def hand(self, times: FloatArray) -> FloatArray:
        """Return where the hand's marker is, (n, 3) metres, at seconds from contact."""
        way = way_at(self.thrust, times)
        out, up = math.radians(self.out_of_plane), math.radians(self.upwards)
        along = np.array([math.cos(out) * math.cos(up), -math.cos(out) * math.sin(up), math.sin(out)])
        across = np.array([math.sin(up), math.cos(up), 0.0])
        bent = self.thrust.bow * np.square(np.minimum(way, 0.0) / self.thrust.reach)
        start = np.array([*self.contact_at, self.off_plane])
        return np.asarray(start + way[:, None] * along + bent[:, None] * across)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Filmed:
    """Frames with their true times.

    Parameters
    ----------
    frames : list of (h, w) arrays
        Stored values.
    times : (n,) array
        Middle of the first row's exposure, in seconds from the film's start.
    contact : float
        When contact happened, in the same seconds.
    marker_at : (n, 2) array
        Where the marker's middle was in the picture, at the time of the row it was on.
    scale_ends : (2, 2) array
        Ends of the bar on the board, in pixels.
    """

    frames: list[Pixels]
    times: FloatArray
    contact: float
    marker_at: FloatArray
    scale_ends: FloatArray


BAR = 0.5
"""Length of the bar on the board, in metres."""


def film(scene: FilmScene, camera: FilmCamera, rng: np.random.Generator) -> Filmed:
    """Return the frames of a strike.

    Parameters
    ----------
    scene : FilmScene
    camera : FilmCamera
    rng : numpy Generator
        Background, texture and noise.
    """
    before = scene.seconds_before + scene.thrust.lasts
    count = math.ceil((before + scene.seconds_after) * camera.rate)
    contact = (math.floor(before * camera.rate) + scene.phase) / camera.rate
    times = np.arange(count) / camera.rate
    background = _background(scene, camera, rng)
    hand = _Hand.of(scene, camera, rng)
    still = _values(background, camera)
    noise = _noise(camera, rng)
    frames = []
    for time in times:
        values = still.copy()
        _expose(values, background, hand, (scene, camera), float(time) - contact)
        frames.append(_stored(values, noise, rng))
    seen = np.array([_when_seen(scene, camera, float(time) - contact) for time in times])
    ends = camera.project(np.array([[scene.board[0] + x, scene.board[1], 0.0] for x in (-BAR / 2, BAR / 2)]))
    return Filmed(frames=frames, times=times, contact=contact, marker_at=seen, scale_ends=ends)


def _when_seen(scene: FilmScene, camera: FilmCamera, time: float) -> FloatArray:
    """Return where the marker is while its own row is exposed."""
    late = 0.0
    for _ in range(4):  # the row depends on the time and the time on the row
        place = camera.project(scene.hand(np.array([time + late])))[0]
        late = camera.read_out * place[1] / camera.height
    return np.asarray(place)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Hand:
    """A picture of the hand: reflectance and how much it covers, with metres a texel."""

    light: Light
    cover: Light
    texel: float

    @classmethod
    def of(cls, scene: FilmScene, camera: FilmCamera, rng: np.random.Generator) -> _Hand:
        texel = camera.distance / camera.focal / 4.0
        half_long, half_high = 0.16, 0.075
        rows, columns = int(2 * half_high / texel) | 1, int(2 * half_long / texel) | 1
        y, x = np.mgrid[:rows, :columns].astype(np.float32) * texel
        x -= 0.5 * (columns - 1) * texel
        y -= 0.5 * (rows - 1) * texel
        # the fist at the middle, the forearm behind it
        outline = np.minimum(np.hypot(x / 0.07, y / 0.06), np.where(x < 0.0, np.abs(y) / 0.042, 9.0))
        cover = np.clip((1.0 - outline) * 0.05 / texel + 0.5, 0.0, 1.0).astype(np.float32)
        grain = cv2.GaussianBlur(
            rng.standard_normal((rows, columns)).astype(np.float32), (0, 0), 0.004 / texel
        )
        light = 0.10 + 0.06 * grain / float(grain.std())
        if scene.fist_marker is not None:
            light = _with_square(light, scene.fist_marker, 0.05, texel)
        elif scene.marker > 0.0:
            from_middle = np.hypot(x, y)
            card = np.clip((0.85 * scene.marker - from_middle) / texel + 0.5, 0.0, 1.0)
            spot = np.clip((0.5 * scene.marker - from_middle) / texel + 0.5, 0.0, 1.0)
            light = light * (1.0 - card) + 0.8 * card
            light = light * (1.0 - spot) + 0.04 * spot
        return cls(light=np.clip(light, 0.01, 1.0).astype(np.float32), cover=cover, texel=texel)


def _with_square(light: Light, identity: int, side: float, texel: float) -> Light:
    drawn = aruco(identity, round(side / texel))
    size, margin = len(drawn), round(0.2 * side / texel)
    square = np.full((size + 2 * margin,) * 2, 0.8, np.float32)
    square[margin:-margin, margin:-margin] = 0.04 + 0.76 * drawn
    top, left = ((n - len(square)) // 2 for n in light.shape)
    result = light.copy()
    result[top : top + len(square), left : left + len(square)] = square
    return result


def aruco(identity: int, side: int) -> Light:
    """Return a marker of DICT_4X4_50, ``side`` by ``side``: 0 where black, 1 where white."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    return np.asarray(cv2.aruco.generateImageMarker(dictionary, identity, side), np.float32) / 255.0


def _background(scene: FilmScene, camera: FilmCamera, rng: np.random.Generator) -> Light:
    """Return the light of the room: an uneven wall, a post, and the board with marker and bar."""
    shape = (camera.height, camera.width)
    wall = np.full(shape, 0.35, np.float32)
    for spread, strength in ((60.0, 0.08), (8.0, 0.04), (2.0, 0.02)):
        rough = cv2.GaussianBlur(rng.standard_normal(shape).astype(np.float32), (0, 0), spread)
        wall += strength * rough / float(rough.std())
    wall = np.clip(wall, 0.05, 1.0)
    texel = camera.distance / camera.focal / 4.0
    for drawn, left, top, side in _boards(scene, texel):
        _hang(wall, drawn, (left, top, side), camera)
    return wall


def _hang(wall: Light, drawn: Light, where: tuple[float, float, float], camera: FilmCamera) -> None:
    """Draw a flat thing of the plane into the picture, its borders by the share of each pixel they cover."""
    left, top, texel = where
    rows, columns = drawn.shape
    corners = np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)], np.float64) - 0.5
    places = np.column_stack([left + (corners[:, 0] + 0.5) * texel, top + (corners[:, 1] + 0.5) * texel])
    seen = camera.project(np.column_stack([places, np.zeros(4)]))
    first = np.maximum(np.floor(seen.min(axis=0)).astype(int) - 1, 0)
    last = np.minimum(np.ceil(seen.max(axis=0)).astype(int) + 2, (camera.width, camera.height))
    part = wall[first[1] : last[1], first[0] : last[0]]
    fine = (seen - first + 0.5) * _FINER_STILL - 0.5
    matrix = cv2.getPerspectiveTransform(corners.astype(np.float32), fine.astype(np.float32))
    canvas = np.repeat(np.repeat(part, _FINER_STILL, axis=0), _FINER_STILL, axis=1)
    cv2.warpPerspective(
        drawn,
        matrix,
        canvas.shape[::-1],
        dst=canvas,
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_TRANSPARENT,
    )
    part[:] = cv2.resize(canvas, part.shape[::-1], interpolation=cv2.INTER_AREA)


def _boards(scene: FilmScene, about: float) -> Iterator[tuple[Light, float, float, float]]:
    """Yield the flat things of the plane, each with its left and top and the side of a texel, in metres."""
    texel = BAR / round(BAR / about)  # a whole number of texels to the bar, and to the marker's side
    bar = np.full((round(0.02 / texel), round(BAR / texel)), 0.04, np.float32)
    edge = round(0.02 / texel)
    framed = np.full((bar.shape[0] + 2 * edge, bar.shape[1] + 2 * edge), 0.75, np.float32)
    framed[edge:-edge, edge:-edge] = bar
    x, y = scene.board
    high = framed.shape[0] * texel
    yield framed, x - 0.5 * framed.shape[1] * texel, y - 0.5 * high, texel
    texel = scene.board_marker / round(scene.board_marker / about)
    side = round(scene.board_marker / texel)
    margin = round(0.2 * scene.board_marker / texel)
    square = np.full((side + 2 * margin,) * 2, 0.75, np.float32)
    square[margin : margin + side, margin : margin + side] = 0.04 + 0.71 * aruco(7, side)
    half = 0.5 * len(square) * texel
    yield square, x - half, y - 0.5 * high - 2.0 * half, texel
    post = np.full((round(0.3 / texel), round(0.04 / texel)), 0.2, np.float32)
    yield post, scene.contact_at[0] + 0.075, scene.contact_at[1] - 0.15, texel


def _expose(
    values: Light, background: Light, hand: _Hand, who: tuple[FilmScene, FilmCamera], time: float
) -> None:
    """Put the hand into stored values as one frame sees it; ``time`` of its first row, from contact."""
    scene, camera = who
    ends = time + camera.exposure * np.array([-0.5, 0.5])
    reach = camera.project(scene.hand(np.concatenate([ends, ends + camera.read_out])))
    smear = float(np.hypot(*(reach[1] - reach[0])))
    steps = int(np.clip(math.ceil(smear * _STEPS_A_PIXEL), _FEWEST_STEPS, _MOST_STEPS))
    half = np.array([0.17, 0.085]) * (camera.focal / camera.distance) * 1.15
    margin = _MARGIN + math.ceil(4.0 * camera.blur)
    left, top = np.maximum(np.floor(reach.min(axis=0) - half).astype(int) - margin, 0)
    right, bottom = np.ceil(reach.max(axis=0) + half).astype(int) + margin
    part = (slice(int(top), int(bottom)), slice(int(left), int(right)))
    behind = background[part]
    if min(behind.shape) > 1:
        seen = _added_up(behind, hand, scene, camera, (time, steps, (int(left), int(top))))
        # the hand ends well inside, so that the border of the part looks as it did
        values[part] = _values(seen, camera)


def _added_up(
    behind: Light,
    hand: _Hand,
    scene: FilmScene,
    camera: FilmCamera,
    when: tuple[float, int, tuple[int, int]],
) -> Light:
    """Return the part of the picture where the hand is, added up over the exposure."""
    time, steps, (left, top) = when
    rows, columns = behind.shape
    x = (left + (np.arange(columns * _FINER) + 0.5) / _FINER - 0.5).astype(np.float32)
    y = (top + (np.arange(rows * _FINER) + 0.5) / _FINER - 0.5).astype(np.float32)
    gathered, covered = np.zeros((2, rows * _FINER, columns * _FINER), np.float32)
    row_late = camera.read_out * y.astype(np.float64) / camera.height
    middle = (np.array(hand.light.shape[::-1]) - 1.0) / 2.0
    inverse = _from_pixels(scene, camera, time) / hand.texel
    for step in range(steps):
        offset = camera.exposure * ((step + 0.5) / steps - 0.5)
        centre = camera.project(scene.hand(time + offset + row_late)).astype(np.float32)
        dx, dy = x[None, :] - centre[:, :1], (y - centre[:, 1])[:, None]
        map_x = (inverse[0, 0] * dx + inverse[0, 1] * dy + middle[0]).astype(np.float32)
        map_y = (inverse[1, 0] * dx + inverse[1, 1] * dy + middle[1]).astype(np.float32)
        cover = cv2.remap(hand.cover, map_x, map_y, cv2.INTER_LINEAR, borderValue=0.0)
        covered += cover
        gathered += cover * cv2.remap(hand.light, map_x, map_y, cv2.INTER_LINEAR, borderValue=0.0)
    size = (columns, rows)
    share = cv2.resize(covered / steps, size, interpolation=cv2.INTER_AREA)
    seen = cv2.resize(gathered / steps, size, interpolation=cv2.INTER_AREA)
    return np.asarray(behind * (1.0 - share) + seen, np.float32)


def _from_pixels(scene: FilmScene, camera: FilmCamera, time: float) -> FloatArray:
    """Return the (2, 2) matrix from pixels to metres on the hand."""
    at = scene.hand(np.array([time]))
    step = 1e-3
    around = at + step * np.array([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)])
    middle, right, down = camera.project(around)
    return np.asarray(np.linalg.inv(np.column_stack([right - middle, down - middle]) / step))


def _values(light: Light, camera: FilmCamera) -> Light:
    """Return stored values before they are rounded: lens and curve."""
    blurred = cv2.GaussianBlur(light, (0, 0), camera.blur) if camera.blur > 0.0 else light
    return np.asarray(255.0 * cv2.pow(np.clip(blurred, 0.0, 1.0), _STORED_POWER), np.float32)


def _noise(camera: FilmCamera, rng: np.random.Generator) -> Light:
    """Return more noise than a frame needs: each takes another piece of it."""
    shape = (camera.height + _NOISE_ROOM, camera.width + _NOISE_ROOM)
    return np.asarray(camera.noise * rng.standard_normal(shape, np.float32))


def _stored(values: Light, noise: Light, rng: np.random.Generator) -> Pixels:
    """Return stored values: noise added, rounded."""
    down, right = (int(n) for n in rng.integers(0, _NOISE_ROOM, 2))
    rows, columns = values.shape
    values += noise[down : down + rows, right : right + columns]
    # rounds, and stops at 255
    return np.asarray(cv2.convertScaleAbs(np.maximum(values, 0.0)), np.uint8)
