"""The largest upright rectangle of ones, against trying all of them."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from tameshi.footprint.geometry.inscribed import largest_board
from tameshi.footprint.picture.arrays import Mask

BOARDS = arrays.arrays(np.uint8, st.tuples(st.integers(1, 7), st.integers(1, 7)), elements=st.integers(0, 1))


def largest_of_all(board: Mask) -> int:
    rows, columns = board.shape
    return max(
        (
            (bottom - top) * (right - left)
            for top in range(rows)
            for bottom in range(top + 1, rows + 1)
            for left in range(columns)
            for right in range(left + 1, columns + 1)
            if board[top:bottom, left:right].all()
        ),
        default=0,
    )


@given(BOARDS)
def test_none_is_larger(board: Mask) -> None:
    left, top, right, bottom = largest_board(board)
    if board.any():
        assert board[top : bottom + 1, left : right + 1].all()
        assert (right + 1 - left) * (bottom + 1 - top) == largest_of_all(board)
    else:
        assert (left, top, right, bottom) == (0, 0, 0, 0)
