"""A browser's processes, which come and go together."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

LEAVE_MOST_S = 10


class Group:
    """A command with all that it starts, in a group of processes of its own."""

    def __init__(
        self,
        command: Sequence[str],
        environment: Mapping[str, str] | None = None,
        pass_fds: Sequence[int] = (),
    ) -> None:
        self._process = subprocess.Popen(
            command,
            env={**os.environ, **(environment or {})},
            start_new_session=True,
            pass_fds=pass_fds,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )

    def ask_to_leave(self) -> None:
        self._process.terminate()

    def leave(self) -> None:
        """Waits until all have gone by themselves, and kills what stays."""
        until = time.monotonic() + LEAVE_MOST_S
        while self.living() and time.monotonic() < until:
            self._process.poll()
            time.sleep(0.05)
        self.kill()

    def kill(self) -> None:
        """All at once, without warning."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()

    def living(self) -> list[str]:
        """Names of those that run still; one that has ended, and was not waited for, does not."""
        names = []
        for stat in Path("/proc").glob("[0-9]*/stat"):
            with contextlib.suppress(OSError):
                name, _, rest = stat.read_text("utf-8", "replace").partition("(")[2].rpartition(")")
                state, _, group = rest.split()[:3]
                if int(group) == self._process.pid and state != "Z":
                    names.append(name)
        return names
