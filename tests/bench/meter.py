"""What a task costs, in a process of its own: wall clock, processor, memory at its peak, and by room.

A room is a folder of the program, or what writes to the disk.  Where the processor's time goes is asked two
hundred times a second, of the innermost frame that belongs to the program; "start" is what imports.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from threading import Event, Thread
from types import FrameType
from typing import Any

import fieldsheet
from fieldsheet.templates import templates

EVERY_S, LOOK_S = 0.005, 0.05
PACKAGE = Path(fieldsheet.__file__).parent
ROOMS = ("start", "catalog", "sky", "plan", "sheet", "site", "cards", "exchange", "write", "rest")
# Where a folder is not a room of its own.
IN_ROOM = {"checklists": "sheet", "pages": "site", "parts": "site", "guide": "site", "pocket": "site"}
WRITES = ("site/write.py", "site/kept.py")


@dataclass(frozen=True)
class Cost:
    """Seconds of the wall clock and of the processor, its workers' too, those by room; and the answer.

    peak: bytes of memory of the process and all that it started, together; what they share counts in each.
    """

    wall_s: float
    cpu_s: float
    peak: int
    rooms: dict[str, float]
    answer: Any


def cost_of(module: str, task: str, *words: str) -> Cost:
    """Runs `python -m MODULE TASK WORDS`, which must end in `report`."""
    # A program that is installed has its modules compiled.
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    command = [sys.executable, "-m", module, task, *words]
    shown = subprocess.run(command, env=env, capture_output=True, text=True)
    if shown.returncode:
        raise SystemExit(shown.stderr)
    return Cost(**json.loads(shown.stdout.splitlines()[-1]))


def report(task: Callable[[], Any]) -> None:
    """Runs a task and prints what it cost, as the last line."""
    found: Counter[str] = Counter()
    signal.signal(signal.SIGPROF, lambda _number, frame: found.update([room_of(frame)]))
    signal.setitimer(signal.ITIMER_PROF, EVERY_S, EVERY_S)
    memory = Memory()
    memory.start()
    begun = time.perf_counter()
    answer = task()
    wall_s = time.perf_counter() - begun
    peak = memory.end()
    signal.setitimer(signal.ITIMER_PROF, 0)
    own, theirs = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    own_s, theirs_s = (used.ru_utime + used.ru_stime for used in (own, theirs))
    looks = sum(found.values()) or 1
    rooms = {room: found[room] / looks * own_s for room in ROOMS}
    rooms["cards"] += theirs_s  # whatever else is run takes hundredths
    cost = Cost(wall_s, own_s + theirs_s, max(peak, own.ru_maxrss * 1024), rooms, answer)
    print(json.dumps(asdict(cost)))


class Memory(Thread):
    """Looks again and again at what all processes hold.

    The system's own peak of children is of no use: what is started begins with the peak of who starts it.
    """

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self._most = 0
        self._is_over = Event()

    def run(self) -> None:
        while not self._is_over.wait(LOOK_S):
            self._most = max(self._most, sum(map(_resident, (os.getpid(), *_started()))))

    def end(self) -> int:
        """Stops looking; the most that was seen, in bytes."""
        self._is_over.set()
        self.join()
        return self._most


def _started() -> list[int]:
    """The processes that were started by any thread of this one."""
    return [int(word) for path in Path("/proc/self/task").glob("*/children") for word in _text(path).split()]


def _resident(process: int) -> int:
    """Source: proc_pid_statm(5), its second number."""
    words = _text(Path(f"/proc/{process}/statm")).split()
    return int(words[1]) * resource.getpagesize() if words else 0


def _text(path: Path) -> str:
    """Nothing of what has ended meanwhile."""
    try:
        return path.read_text()
    except OSError:
        return ""


def room_of(frame: FrameType | None) -> str:
    """The room that a moment of the processor belongs to."""
    while frame is not None:
        name = frame.f_code.co_filename
        if name.startswith("<frozen importlib"):
            return "start"
        for root in (PACKAGE, templates()):
            if name.startswith(f"{root}{os.sep}"):
                return _of(name[len(str(root)) + 1 :])
        frame = frame.f_back
    return "rest"


def _of(path: str) -> str:
    if path in WRITES:
        return "write"
    room = path.partition(os.sep)[0]
    return IN_ROOM.get(room, room if room in ROOMS else "rest")
