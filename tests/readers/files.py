"""Files as loggers write them, made for tests from one invented strike."""

from __future__ import annotations

import io

import numpy as np
import soundfile

RATE = 20_000.0
COUNT = 2000
TIME = np.arange(COUNT) / RATE
_PULSE = np.where((TIME > 0.03) & (TIME < 0.04), 2000.0 * np.sin(np.pi * (TIME - 0.03) / 0.01), 0.0)
FORCE = _PULSE + np.random.default_rng(0).normal(0.0, 2.0, COUNT)


def rows(separator=",", decimal=".", *, time_factor=1.0, force_factor=1.0, time_digits=6) -> list[str]:
    """Return the lines of time and force."""
    return [
        f"{t * time_factor:.{time_digits}f}{separator}{f * force_factor:.5f}".replace(".", decimal)
        for t, f in zip(TIME.tolist(), FORCE.tolist(), strict=True)
    ]


def text(heading: str, lines: list[str], ending: str = "\n") -> bytes:
    """Return a text file."""
    return (ending.join([*([heading] if heading else []), *lines]) + ending).encode()


CSV = text("time_s,force_N", rows())


def wav(subtype="PCM_16", channels=1, scale=5000.0) -> bytes:
    """Return the force as a WAV file, full scale being ``scale`` newtons."""
    samples = np.repeat(FORCE[:, None] / scale, channels, axis=1)
    written = io.BytesIO()
    soundfile.write(written, samples, round(RATE), format="WAV", subtype=subtype)
    return written.getvalue()
