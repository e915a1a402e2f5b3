"""Unpack a file in a process of its own, where the library that does it does not survive damaged ones.

The scripts it runs take the file on standard input and answer on standard output: a line of JSON, then the
bytes of arrays. A process that ends, hangs or takes too much memory is one refusal, and nothing else ends.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from tameshi.readers.foreign import most_unpacked

_PATIENCE, _SLOWEST = 20.0, 1e6  # [s], [bytes/s]


def unpacked_aside(script: Path, data: bytes) -> tuple[dict[str, Any], memoryview]:
    """Return what a script answers about a file: its words, and the bytes behind them.

    Parameters
    ----------
    script : Path
        Run as a script, with the most bytes it may unpack as argument.
    data : bytes
        The whole file.

    Raises
    ------
    ValueError
        Where the file breaks the process or holds it up, or the script refuses it.
    """
    try:
        done = subprocess.run(
            [sys.executable, "-P", str(script), str(most_unpacked(len(data)))],
            input=data,
            capture_output=True,
            timeout=_PATIENCE + len(data) / _SLOWEST,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise ValueError("the decoder does not come to an end") from error
    if done.returncode != 0:
        raise ValueError("it breaks the decoder")
    end = done.stdout.index(b"\n") + 1
    answer: dict[str, Any] = json.loads(done.stdout[:end])
    if "refused" in answer:
        raise ValueError(answer["refused"])
    return answer, memoryview(done.stdout)[end:]
