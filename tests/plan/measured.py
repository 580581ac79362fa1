"""What the tests of needs ask: what is found for each on a night of a brief, and how it is said."""

from __future__ import annotations

from typing import Any

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

END, HALFWAY = {"fraction": 1.0}, {"fraction": 0.5}


def found_for(
    brief: dict[str, Any], sky: Sky, *needs: dict[str, Any], night: str = "2027-06-05"
) -> list[Any]:
    """Id, what was found, met or not, of each need."""
    planned = plan({**brief, "needs": list(needs)}, sky, {"night": night})
    return [(row["id"], row["args"]["actual"], row["met"]) for row in planned["needs"]]


def verdicts(brief: dict[str, Any], sky: Sky, *needs: dict[str, Any], night: str = "2027-06-05") -> list[str]:
    """The same in words."""
    planned = plan({**brief, "needs": list(needs)}, sky, {"night": night})
    return [need["verdict"] for need in changing({**planned, "revision": "0"})["needs"]]
