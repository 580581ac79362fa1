"""Work in several processes: what comes back, in which order, and that nothing is left of them."""

from __future__ import annotations

import os
import pickle
import select
import signal
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import NoReturn

import pytest

from fieldsheet.cards.render import PangoMissing
from fieldsheet.problems import NoRoom
from fieldsheet.workers import spread

ROOT = Path(__file__).parents[1]
LONGEST_MS = 60_000  # that a machine with much else to do may take to end a process
HOLDING = """
import signal, sys
from functools import partial
from pathlib import Path
from fieldsheet.workers import spread
from tests.test_workers import hold
signal.signal(signal.SIGINT, signal.default_int_handler)  # who runs the tests may ignore it
with spread([partial(hold, Path(sys.argv[1], name)) for name in ("a", "b")], 2) as outcomes:
    next(outcomes)
"""


def hold(path: Path) -> NoReturn:
    """A task that says in a pipe who does it, has something in the temporary folder, and never ends."""
    with tempfile.TemporaryDirectory():
        with open(path, "w") as pipe:
            pipe.write(str(os.getpid()))
        while True:
            signal.pause()


def raising(error: Exception) -> NoReturn:
    raise error


def dying() -> bytes:
    signal.raise_signal(signal.SIGKILL)
    return b"alive"


def loud() -> bytes:
    os.system("echo said")
    return b"done"


@pytest.mark.parametrize("processes", [0, 1, 2, 3])
def test_the_outcomes_come_in_the_order_of_the_tasks(processes: int) -> None:
    tasks = [partial(str.encode, str(number)) for number in range(40)]
    with spread(tasks, processes) as outcomes:
        assert list(outcomes) == [str(number).encode() for number in range(40)]


@pytest.mark.parametrize("processes", [1, 2])
def test_what_a_task_raises_is_its_outcome(processes: int) -> None:
    errors = [NoRoom("too long"), PangoMissing("no library"), MemoryError(), ValueError("another")]
    tasks = [partial(raising, error) for error in errors]
    with spread(tasks, processes) as outcomes:
        found = list(outcomes)
    assert [(type(one), str(one)) for one in found] == [(type(one), str(one)) for one in errors]
    if processes > 1:
        notes = ["".join(getattr(one, "__notes__", [])) for one in found]
        assert all("in raising" in note for note in notes), "where it came from"


def test_a_worker_that_dies_is_the_outcome_of_its_task_and_those_after_it_end() -> None:
    with spread([dying, *[partial(bytes, 2)] * 4], 2) as outcomes:
        died, *others = outcomes
    assert isinstance(died, ChildProcessError) and "ended (Killed)" in str(died)
    assert len(others) == 4


def test_what_a_library_prints_is_no_outcome(capfd: pytest.CaptureFixture[str]) -> None:
    with spread([loud, partial(bytes, 1)], 2) as outcomes:
        assert list(outcomes) == [b"done", b"\0"]
    assert capfd.readouterr() == ("", "said\n")


def test_a_task_that_cannot_be_sent_is_a_fault_of_the_program() -> None:
    with pytest.raises((pickle.PicklingError, AttributeError)), spread([lambda: b""] * 2, 2) as outcomes:
        list(outcomes)


@pytest.mark.parametrize("end", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_however_who_asked_ends_no_worker_and_nothing_of_theirs_is_left(
    tmp_path: Path, end: signal.Signals
) -> None:
    temp = tmp_path / "temp"
    temp.mkdir()
    pipes = [tmp_path / name for name in ("a", "b")]
    for path in pipes:
        os.mkfifo(path)
    command = [sys.executable, "-c", HOLDING, str(tmp_path)]
    with subprocess.Popen(command, cwd=ROOT, env={**os.environ, "TMPDIR": str(temp)}, stderr=-1) as asking:
        workers = [os.pidfd_open(int(path.read_text())) for path in pipes]
        asking.send_signal(end)
        over = all(ended(worker) for worker in workers)
        if not over:
            asking.kill()  # else this would wait for it
        assert over
        _, said = asking.communicate()
    assert list(temp.iterdir()) == []
    assert (b"KeyboardInterrupt" in said) == (end == signal.SIGINT) and said.count(b"Traceback") <= 1


def ended(process: int) -> bool:
    """Whether a process, by its handle, comes to its end."""
    poll = select.poll()
    poll.register(process, select.POLLIN)
    found = bool(poll.poll(LONGEST_MS))
    os.close(process)
    return found
