"""Work spread over processes, with its results in the order of the tasks.

A worker is started anew (`python -m fieldsheet.workers`), never forked: numpy and the libraries that set text
have threads, and a lock that one of them holds at a fork stays locked in the copy.  It is in a group of its
own, so that Ctrl-C reaches only who started it, and it ends when its pipe does: whatever ends the one ends
the other.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from queue import SimpleQueue
from threading import Thread
from traceback import format_exception

Task = Callable[[], bytes]
"""What is to be done; what a worker is to do has to be picklable."""

Outcome = bytes | Exception
"""What a task returned or raised."""

_COMMAND = (sys.executable, "-P", "-m", "fieldsheet.workers")
_LENGTH = 8  # bytes that say how many follow
_OUT_S = 10.0  # longest that a worker may take on its way out


def available() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextlib.contextmanager
def spread(tasks: Sequence[Task], processes: int) -> Iterator[Iterator[Outcome]]:
    """What became of each task, in their order; fewer than two processes are this one, as it is asked.

    Where a worker died, that is ChildProcessError, in words.  When this ends, so has every worker.
    """
    if processes < 2:
        yield map(outcome_of, tasks)
        return
    idle: SimpleQueue[_Worker] = SimpleQueue()

    def done(task: Task) -> Outcome:
        worker = idle.get()
        try:
            return worker.do(task)
        finally:
            idle.put(worker)

    with contextlib.ExitStack() as ending:
        threads = ThreadPoolExecutor(processes)
        ending.callback(threads.shutdown)
        for _ in range(processes):
            worker = _Worker()
            ending.callback(worker.end)
            idle.put(worker)
        ending.callback(threads.shutdown, wait=False, cancel_futures=True)
        yield threads.map(done, tasks)


def outcome_of(task: Task) -> Outcome:
    """Does it in this process."""
    try:
        return task()
    except Exception as error:
        return error


class _Worker:
    """A process that does one task after the other."""

    def __init__(self) -> None:
        found = os.pathsep.join(path or os.getcwd() for path in sys.path)
        self._process = subprocess.Popen(
            _COMMAND,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": found},
            process_group=0,
        )
        assert self._process.stdin and self._process.stdout, "both are pipes"
        self._tasks, self._outcomes = self._process.stdin, self._process.stdout

    def do(self, task: Task) -> Outcome:
        data = pickle.dumps(task)
        try:
            self._tasks.write(len(data).to_bytes(_LENGTH, "big") + data)
            self._tasks.flush()
            outcome: Outcome = pickle.load(self._outcomes)
        except (OSError, EOFError, pickle.UnpicklingError):
            return ChildProcessError(self._end_told())
        return outcome

    def _end_told(self) -> str:
        status = self._process.wait(_OUT_S)
        why = signal.strsignal(-status) if status < 0 else f"status {status}"
        return f"a process that worked for this one ended ({why}); if memory is short: --processes 1"

    def end(self) -> None:
        """Lets it end, in the middle of a task, too."""
        with contextlib.suppress(OSError):  # it is dead, and what was not yet sent is lost on nobody
            self._tasks.close()
        try:
            self._process.wait(_OUT_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._outcomes.close()


def _serve() -> None:
    """A worker's life: it ends by SystemExit, so that what it made for the time being is cleared away."""
    outcomes = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints is no outcome
    signal.signal(signal.SIGTERM, lambda *_: sys.exit())
    tasks: SimpleQueue[bytes] = SimpleQueue()
    Thread(target=_listen, args=(tasks,), daemon=True).start()
    while True:
        data = tasks.get()
        outcome = outcome_of(lambda data=data: pickle.loads(data)())  # type: ignore[misc]
        if isinstance(outcome, Exception):
            outcome.add_note("".join(format_exception(outcome)))
        outcomes.write(pickle.dumps(outcome))
        outcomes.flush()


def _listen(tasks: SimpleQueue[bytes]) -> None:
    """Hears of the end of the pipe in the middle of a task, too."""
    while length := sys.stdin.buffer.read(_LENGTH):
        tasks.put(sys.stdin.buffer.read(int.from_bytes(length, "big")))
    os.kill(os.getpid(), signal.SIGTERM)


if __name__ == "__main__":
    _serve()
