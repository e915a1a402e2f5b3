"""Search for bytes that break the text reader: ``python -m tests.readers.fuzz_text [folder] [options]``.

Not collected by the test run. Needs the extra ``fuzz``. Anything but a recording or an error of ours, a
warning included, stops it and leaves the input behind; such an input then becomes a test.
"""

import math
import sys
import warnings

import atheris

with atheris.instrument_imports(include=["tameshi.readers"]):
    from tameshi.errors import TameshiError
    from tameshi.readers import ReadOptions, text

LARGEST_OUTCOME = 100  # samples for one byte: gaps may be filled, but not without end


def one(data: bytes) -> None:
    """Decode one input."""
    try:
        recording = text.decode(data, "fuzz.txt", ReadOptions())
    except TameshiError as error:
        if not error.message or "Traceback" in error.message:
            raise AssertionError from error
        return
    assert recording.rate is None or 0.0 < recording.rate < math.inf
    for channel in recording.channels:
        assert 0 <= len(channel.samples) <= LARGEST_OUTCOME * (len(data) + 1)


if __name__ == "__main__":
    warnings.simplefilter("error")
    atheris.Setup(sys.argv, one)
    atheris.Fuzz()
