"""How a command ends: one JSON object or one clear message, and an exit status.

0: measured, flags possible. 2: called wrongly. 3: the input cannot be measured. Nobody is shown a
traceback; whoever mends tameshi sets TAMESHI_TRACEBACK=1.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Mapping
from typing import Any

import typer

from tameshi.errors import TameshiError

WRONG_USE, CANNOT_BE_MEASURED, INTERRUPTED = 2, 3, 130
CommandError: type[Exception] = next(
    kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException"
)
"""What the command parser raises for a call it does not understand."""


def print_json(result: Mapping[str, Any]) -> None:
    """Print one JSON object on standard output and nothing else."""
    sys.stdout.write(json.dumps(result, allow_nan=False, ensure_ascii=False) + "\n")


def error_object(error: TameshiError) -> dict[str, str]:
    """Return an error as it stands in machine-readable results."""
    return {"code": error.code, "message": error.message, "hint": error.hint}


def print_error(error: TameshiError, *, as_json: bool) -> None:
    """Print an error: as JSON on standard output, or as a sentence on standard error."""
    if as_json:
        print_json({"error": error_object(error)})
        return
    sys.stderr.write(f"tameshi: {error.message}\n")
    if error.hint:
        sys.stderr.write(f"         {error.hint}\n")


def run(app: typer.Typer, arguments: list[str] | None = None) -> int:
    """Run a command and return its exit status.

    Parameters
    ----------
    app : Typer
    arguments : list of str or None
        Those of the process where None.
    """
    given = sys.argv[1:] if arguments is None else arguments
    as_json = "--json" in given
    try:
        status = app(args=given, prog_name="tameshi", standalone_mode=False)
        sys.stdout.flush()
    except TameshiError as error:
        return _told(error, error.exit_status, as_json=as_json)
    except CommandError as error:
        return _told(_wrong_call(error), WRONG_USE, as_json=as_json)
    except (KeyboardInterrupt, typer.Abort):
        sys.stderr.write("tameshi: interrupted; nothing half-done was kept.\n")
        return INTERRUPTED
    except (BrokenPipeError, SystemExit) as ended:
        # the command parser turns a reader that left into an exit of its own
        if isinstance(ended, SystemExit) and not isinstance(ended.__context__, BrokenPipeError):
            raise
        return _reader_left()
    except Exception as error:
        if os.environ.get("TAMESHI_TRACEBACK"):
            raise
        return _told(_unforeseen(error), CANNOT_BE_MEASURED, as_json=as_json)
    return int(status or 0)


def _reader_left() -> int:
    """End quietly: whoever read our output has had enough."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def _told(error: TameshiError, status: int, *, as_json: bool) -> int:
    print_error(error, as_json=as_json)
    return status


def _wrong_call(error: BaseException) -> TameshiError:
    message = getattr(error, "format_message", lambda: str(error))()
    return TameshiError("wrong-use", message, hint="See --help for what there is.")


def _unforeseen(error: Exception) -> TameshiError:
    if isinstance(error, MemoryError):
        return TameshiError(
            "out-of-memory", "The input needs more memory than there is.", hint="Cut it into parts."
        )
    return TameshiError(
        "internal",
        f"tameshi failed in a way it should not: {type(error).__name__}: {error}",
        hint="Please report the command and, if you may, the file; TAMESHI_TRACEBACK=1 shows where.",
    )
