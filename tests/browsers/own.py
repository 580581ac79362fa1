"""A browser whose processes we start and end ourselves, and ask over a wire."""

from __future__ import annotations

from abc import abstractmethod
from pathlib import Path

from tests.browsers.engine import Engine
from tests.web.group import Group


class OwnEngine(Engine):
    def __init__(self, profile: Path) -> None:
        super().__init__(profile)
        self._group: Group | None = None

    def start(self) -> None:
        self._group = self.launch()
        self.take_up()

    @abstractmethod
    def launch(self) -> Group:
        """Its processes, on the profile."""

    @abstractmethod
    def take_up(self) -> None:
        """Waits until it can be asked, and asks for its first page."""

    @abstractmethod
    def ask_to_quit(self, group: Group) -> None: ...

    @abstractmethod
    def hang_up(self) -> None:
        """Ends the wires."""

    def quit(self) -> None:
        if self._group is not None:
            self.ask_to_quit(self._group)
            self._group.leave()
            self.kill()

    def kill(self) -> None:
        if self._group is not None:
            self._group.kill()
            self.hang_up()
            self._group = None

    def living(self) -> list[str]:
        return self._group.living() if self._group else []
