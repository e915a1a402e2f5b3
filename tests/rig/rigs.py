"""Rig files of our own for tests; every figure in them is invented."""

from __future__ import annotations

from tameshi.rig import Rig, parse_rig

RIG = """
name = "test post"
[cell]
capacity = "5 kN"
rated_output = "2 mV/V"
natural_frequency = "2500 Hz"
damping_ratio = 0.03
linearity = "0.05 %"
[amplifier]
excitation = "5 V"
gain = 200
low_pass = "4 kHz"
[converter]
rate = "20 kHz"
bits = 16
span = ["-5 V", "5 V"]
[plate]
pad = "none"
"""


def rig(*changes: tuple[str, str]) -> Rig:
    """Return the test rig with pieces of its file replaced."""
    text = RIG
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return parse_rig(text)
