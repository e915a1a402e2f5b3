"""Allow ``python -m tameshi``."""

from tameshi.cli import run

run()
