"""Questions and answers over a web socket, numbered, as all browsers' own remote controls have them."""

from __future__ import annotations

import json
from typing import Any

import websocket

ANSWER_MOST_S = 30


class DriverError(Exception):
    """The browser did not do what it was asked to; what it said."""


class Wire:
    """`call` waits for the answer to its own question and passes over what the browser tells in between."""

    def __init__(self, url: str) -> None:
        # Without an origin: a browser lets nobody in that says to be a web page.
        self._socket = websocket.create_connection(url, suppress_origin=True, timeout=ANSWER_MOST_S)
        self._last = 0

    def call(self, method: str, **params: Any) -> Any:
        """The result; raises DriverError with what the browser said against it."""
        number = self.send(method, params)
        while True:
            answer = self.receive()
            if answer.get("id") == number:
                if "error" in answer:
                    raise DriverError(f"{method}: {answer}")
                return answer["result"]

    def send(self, method: str, params: dict[str, Any]) -> int:
        """The number under which the answer will come."""
        self._last += 1
        self._socket.send(json.dumps({"id": self._last, "method": method, "params": params}))
        return self._last

    def receive(self) -> dict[str, Any]:
        """The next message, whatever it is."""
        try:
            message: dict[str, Any] = json.loads(self._socket.recv())
        except (websocket.WebSocketException, OSError) as error:
            raise DriverError(f"no answer: {error!r}") from error
        return message

    def close(self) -> None:
        self._socket.close()
