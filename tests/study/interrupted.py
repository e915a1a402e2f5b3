"""Interrupt additions in every way, really: run as a program, prints what was found as JSON.

A process without threads forks the ones that are killed, so that hundreds of deaths take a second.
"""

import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path
from types import FrameType

from tameshi.files import sha256_of
from tameshi.study import (
    RecordingDescription,
    Study,
    add_original,
    check,
    new_study,
    open_study,
    originals,
    read_original,
)
from tests.study.samples import AT

STEPS = {"mkdir", "open", "write", "flush", "chmod", "fsync", "replace", "execute", "commit", "close"}
ROUNDS = 25
WRITERS = 3


def content(index: int) -> bytes:
    """Return a content whose folder is named after the index, so that each of the first 256 is new."""
    for salt in count():
        data = f"{index} {salt}\n".encode() * 100
        if index >= 256 or sha256_of(data).startswith(f"{index:02x}"):
            return data
    raise AssertionError


def addition(study: Study, index: int) -> str:
    said = RecordingDescription(technique="palm heel", athlete="A07")
    name = f"{index}.csv"
    return add_original(study, content(index), name=name, kind="recording", at=AT, description=said).outcome


def child(work: Callable[[], object]) -> int:
    """Do work in a process of its own; return its number."""
    number = os.fork()
    if number == 0:
        status = 1
        try:
            work()
            status = 0
        finally:
            os._exit(status)
    return number


def ended_by_itself(number: int) -> bool:
    """Wait for a process; return False if it was killed. It may not end with an error."""
    status = os.waitstatus_to_exitcode(os.waitpid(number, 0)[1])
    assert status in {0, -signal.SIGKILL}
    return status == 0


def kill_before_step(step: int, said: Path) -> None:
    """Let this process die before its n-th call to the disk or the database."""
    steps = count()

    def watch(_: FrameType, event: str, called: object) -> None:
        if event == "c_call" and is_step(called) and next(steps) == step:
            said.write_text(getattr(called, "__name__", "?"))
            os.kill(os.getpid(), signal.SIGKILL)

    sys.setprofile(watch)


def is_step(called: object) -> bool:
    """Whether a function of the interpreter is one of the system, of a file or of the database."""
    owner = getattr(called, "__self__", None)
    module = getattr(called, "__module__", "") or type(owner).__module__
    return module in {"posix", "_io", "sqlite3"} and getattr(called, "__name__", "") in STEPS


def state(folder: Path) -> dict[str, object]:
    """Return what a check finds, after reading back every original in the catalogue."""
    with open_study(folder) as study:
        known = originals(study)
        for original in known:
            read_original(study, original)
        report = check(study)
    return {"known": len(known), "broken": [f.message for f in report.findings if f.severity == "broken"]}


def killed_at_every_step(folder: Path) -> list[dict[str, object]]:
    """Kill an addition before each of its steps in turn, until one gets to its end."""
    found: list[dict[str, object]] = []
    said = folder.with_name("step")
    for step in count():

        def work(step: int = step) -> None:
            with open_study(folder) as study:
                kill_before_step(step, said)
                addition(study, step)
                sys.setprofile(None)

        if ended_by_itself(child(work)):
            return found
        after = state(folder)
        with open_study(folder) as study:
            again = addition(study, step)
        found.append({"step": said.read_text(), **after, "again": again})
    return found


def killed_at_any_moment(folder: Path) -> list[dict[str, object]]:
    """Kill a process that adds one file after the other, at moments of no choosing."""
    moments = random.Random(1)
    found = []
    for turn in range(ROUNDS):
        reading_end, writing_end = os.pipe()

        def work(turn: int = turn, started: int = writing_end) -> None:
            with open_study(folder) as study:
                for index in count(1000 * turn):
                    addition(study, index)
                    os.write(started, b".")

        number = child(work)
        os.read(reading_end, 1)  # the first is in
        time.sleep(moments.uniform(0.0, 0.03))
        os.kill(number, signal.SIGKILL)
        assert not ended_by_itself(number)
        os.close(reading_end)
        os.close(writing_end)
        found.append(state(folder))
    return found


def added_at_once(folder: Path) -> list[dict[str, object]]:
    """Let several processes add the same files at the same time."""

    def work() -> None:
        with open_study(folder) as study:
            for index in range(30):
                addition(study, index)

    numbers = [child(work) for _ in range(WRITERS)]
    assert all(ended_by_itself(number) for number in numbers)
    with open_study(folder) as study:
        return [{**state(folder), "findings": len(check(study).findings)}]


if __name__ == "__main__":
    way, where = sys.argv[1], Path(sys.argv[2])
    new_study(where, name="Interrupted")
    ways = {one.__name__: one for one in (killed_at_every_step, killed_at_any_moment, added_at_once)}
    print(json.dumps(ways[way](where)))  # noqa: T201
