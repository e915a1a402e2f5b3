"""Run every benchmark: ``python -m benchmarks``, or some by name."""

from __future__ import annotations

import importlib
import sys

NAMES = (
    "start_up",
    "strikes_speed",
    "text_speed",
    "force_truth",
    "rig_truth",
    "footprint_speed",
    "footprint_accuracy",
)


def main() -> None:
    for name in sys.argv[1:] or NAMES:
        print(f"== {name}", flush=True)
        importlib.import_module(f"benchmarks.{name}").main()


if __name__ == "__main__":
    main()
