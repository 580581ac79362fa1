"""What two shots need at the same time, in words.  Python only."""

from __future__ import annotations

from typing import Any

from .words import say


def clash_text(clash: dict[str, Any]) -> str:
    """One clash as a sentence; clock times in the zone of the first shot's place."""
    first, second = clash["first"], clash["second"]
    args = {
        "first": first["shot"]["title"],
        "second": second["shot"]["title"],
        "what": clash["what"],
        "from": clash["from_ms"],
        "until": clash["until_ms"],
    }
    return say("clash." + clash["kind"], args, first["brief"]["place"]["zone"]["spans"])
