"""Run code in a process of its own, where limits and lost privileges harm nobody else."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

# Root may read and write anything. Without its capabilities the permission bits bind it like
# anybody else; it stays the owner of its files, so folders closed to others stay open to it.
_LIKE_ANYBODY = """
import ctypes, os
if os.geteuid() == 0:
    header, nothing = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
    assert ctypes.CDLL(None).capset(header, nothing) == 0
"""

_REPORTING = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from tameshi.errors import TameshiError
from tameshi.files import *
from tameshi.study import *
AT = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
def run(path):
{body}
try:
    run(Path(sys.argv[1]))
    print("done")
except TameshiError as error:
    print(type(error).__name__, error.code, error.exit_status)
"""


def unprivileged(body: str, path: Path) -> str:
    """Return the last line a function body prints that may only do what permission bits allow.

    That is "done", or class, code and exit status of our error; any other exception fails here.
    The body knows ``path`` and everything public of tameshi.files and tameshi.study.
    """
    indented = "\n".join(f"    {line}" for line in body.strip().splitlines())
    code = _LIKE_ANYBODY + _REPORTING.replace("{body}", indented)
    return python("-c", code, str(path)).splitlines()[-1]


def python(*arguments: str) -> str:
    """Return what a Python process prints; it must end well."""
    ended = subprocess.run(
        [sys.executable, *arguments], capture_output=True, text=True, timeout=120, cwd=ROOT, check=False
    )
    assert ended.returncode == 0, ended.stderr
    return ended.stdout
