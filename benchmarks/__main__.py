"""Run every benchmark: ``python -m benchmarks``, or some by name."""

from __future__ import annotations

import importlib
import os
import sys

NAMES = (
    "start_up",
    "finding_speed",
    "strikes_speed",
    "text_speed",
    "force_truth",
    "rig_truth",
    "area_law_truth",
    "comparison_truth",
    "head_metrics",
    "transfer_truth",
    "tracking_speed",
    "motion_truth",
    "footprint_speed",
    "footprint_large",
    "footprint_accuracy",
)


def main() -> None:
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the commands set it
    for name in sys.argv[1:] or NAMES:
        print(f"== {name}", flush=True)
        importlib.import_module(f"benchmarks.{name}").main()


if __name__ == "__main__":
    main()
