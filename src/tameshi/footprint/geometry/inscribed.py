"""The largest upright rectangle inside a polygon: where on the paper ink may be looked for."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Mask

Corner = tuple[int, int]


def largest_inside(points: FloatArray) -> tuple[Corner, Corner]:
    """Return the first and last corner of the largest upright rectangle in the hull of points.

    Parameters
    ----------
    points : (n, 2) array
        Whole numbers.

    Returns
    -------
    ((int, int), (int, int))
        Both corners are in the hull; equal where nothing larger is.
    """
    first = points.min(axis=0).astype(int)
    size = points.max(axis=0).astype(int) - first + 1
    hull = cv2.convexHull((points - first).astype(np.int32))
    board = np.zeros((int(size[1]), int(size[0])), np.uint8)
    cv2.fillConvexPoly(board, hull, 1)
    left, top, right, bottom = largest_board(board)
    return (int(first[0]) + left, int(first[1]) + top), (int(first[0]) + right, int(first[1]) + bottom)


def largest_board(board: Mask) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of the largest upright rectangle of ones, in whole numbers.

    Parameters
    ----------
    board : (h, w) array of 0 and 1

    Notes
    -----
    For each row the stack of rising columns above it is walked once, neighbours of one height together; rows
    that the next one only adds to are left out. Source: common practice.
    """
    height = np.zeros(board.shape[1] + 1, int)
    best, found = 0, (0, 0, 0, 0)
    for row in range(len(board)):
        height[:-1] = (height[:-1] + 1) * board[row]
        if row + 1 < len(board) and (board[row + 1] >= board[row]).all():
            continue
        starts = np.flatnonzero(np.diff(height, prepend=-1))
        stack: list[tuple[int, int]] = []  # where columns of a height begin, and that height
        for column, tall in zip(starts.tolist(), height[starts].tolist(), strict=True):
            left = column
            while stack and stack[-1][1] > tall:
                left, rows = stack.pop()
                if rows * (column - left) > best:
                    best, found = rows * (column - left), (left, row - rows + 1, column - 1, row)
            stack.append((left, tall))
    return found
