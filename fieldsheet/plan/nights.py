"""The right night: a shot on every night of a span, each with its verdict.  Python only.

The same timing and the same measures as plan(), so that what is good here is good on the page; only what a
verdict hangs on is worked out.  Events are found for the whole sky at once, and so are places of bodies.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from ..sky.grid import Grid
from ..sky.sky import Sky
from ..sky.unusable import why_unusable
from .anchors import nights_within, site_of, tides_of
from .asked import questions
from .civil import day_number, iso_date
from .nightrows import row_beyond, row_of
from .nightsky import USABLE
from .sights import grid_for, known_events, sight_for
from .trial import Trial, ties_light, tried

A_YEAR = timedelta(days=364)
"""From a night to the last one of a year from it."""


def search(
    brief: dict[str, Any], sky: Sky, first: date, last: date, grid: Grid | None = None
) -> list[dict[str, Any]]:
    """Every night from the first to the last, a row each:

    {night, verdict, no_go, limits_unknown, problem, cause, window, needs, moon, core_usable_h, dark_h}.
    night: its date; verdict: "good" (planned, every need met), "open" (planned, nothing unmet, but something
    not known),
    "fails" (planned, a need not met, or forbidden), "none" (no plan); no_go: warnings as in a plan that
    forbid a night which lacks no need, by sky, keyframes and the place's hours; limits_unknown: ids of
    those hours that have no time on such a night (a tide not typed); problem: {id, args, key} of
    why there is no plan, else None; cause: where that is a core that is not usable, what keeps it, as
    why_unusable has it; window: {start,
    end} as instants {utc_ms, local}, None without a plan; needs: as in a plan, and on a night without one
    those that hang on its window are not known; moon: {lit, phase} in the middle of window or night, {rise,
    set} of the night; hours of the night in which the core can be used, and of darkness.  A night that the
    sky or the zone's clock changes do not reach has None for moon and hours, and none of its needs known.
    grid: that of grid_for, where more than one shot is asked for.
    """
    days = [first + timedelta(days=step) for step in range((last - first).days + 1)]
    place, known = brief["place"], known_events(brief, grid or grid_for([brief], sky))
    # The table of tides is the same on every night: it is read once.
    tides = tides_of(place["tides"], place["zone"]["spans"])
    bare = {**brief, "place": {**place, "tides": []}}
    tied = ties_light(brief, sky)
    trials = [tried(bare, sky, day, known, tides, tied) for day in days]
    # Where nothing is within reach, a night nearby that is tells what is asked.
    reached = _reached(trials)
    if not reached:
        reached = _reached([tried(bare, sky, _within_reach(brief, sky, first), known, tides, tied)])
    asked = [question for trial in reached for question in questions(brief, trial)]
    sight = sight_for(sky, site_of(place), asked)
    causes = _causes(sky, reached)
    rows = {trial.day: row_of(brief, trial, sight, causes.get(trial.day)) for trial in reached}
    needs: list[dict[str, Any]] = next((row["needs"] for row in rows.values()), [])
    return [rows.get(trial.day) or row_beyond(trial, needs) for trial in trials]


def _causes(sky: Sky, trials: Sequence[Trial]) -> dict[date, str | None]:
    """Why the core is not usable on those nights that have no plan because it is not."""
    lost = [trial for trial in trials if trial.problem and trial.problem.args_.get("event") in USABLE]
    nights = [trial.night for trial in lost if trial.night is not None]
    spans_s = [(night.from_s, night.until_s) for night in nights]
    causes = why_unusable(sky, nights[0].site, spans_s) if nights else []
    return {trial.day: cause for trial, cause in zip(lost, causes, strict=True)}


def _reached(trials: Sequence[Trial]) -> list[Trial]:
    return [trial for trial in trials if trial.night is not None]


def _within_reach(brief: dict[str, Any], sky: Sky, day: date) -> date:
    """The night nearest to a day that sky and zone reach, as far as they reach one."""
    zone = brief["place"]["zone"]
    sky_days, zone_days = nights_within(sky.span_s), nights_within((zone["spans"][0][0], zone["until_s"]))
    first, last = max(sky_days[0], zone_days[0]), min(sky_days[1], zone_days[1])
    return date.fromisoformat(iso_date(min(max(day_number(day.isoformat()), first), last)))
