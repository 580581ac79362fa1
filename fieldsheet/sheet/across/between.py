"""What the shots of all nights take together: of the cards of a camera, and of packs that may be charged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from math import floor
from typing import Any

from ...plan.civil import DAY_S, local_day, span_at
from ..words import say
from .shots import Shot
from .totals import Total, rig_name, rig_of, shared, shots_text

Charging = Mapping[str, Any]
HOUR_MS = 3_600_000
# Less than that is no lack: rounding.
LEAST_WH = 0.05


def between_of(entries: Sequence[Shot], charging: Charging | None) -> list[Total]:
    """Lines of the kit page from night to night: cards that nobody empties, packs as they are charged.

    charging: {from_s, until_s} by the places' clocks every day, charger_w into one pack of a rig at a time,
    and the part of that which stays in it; None where nobody knows of any.
    """
    return [*_cards(entries), *_packs(entries, charging)]


def _cards(entries: Sequence[Shot]) -> Iterator[Total]:
    """Every camera's frames of several nights against its cards, in GB."""
    for group in shared([entry for entry in entries if entry.plan["storage"]], "camera"):
        nights = [list(night) for _, night in groupby(group, key=lambda entry: entry.sheet["night_date"])]
        if len(nights) < 2:
            continue
        has, needed, full = sum(group[0].plan["storage"]["card_gb"]), 0.0, None
        for entry in group:
            needed += entry.plan["storage"]["needed_gb"]
            full = full or (entry if needed > has else None)
        args = {"needed": needed, "has": has, "rest": abs(has - needed), "nights": len(nights)}
        args |= {"shots": shots_text(len(group)), "full": full and full.plan["shot"]["title"]}
        text = say("total.days-short" if full else "total.days", args, ())
        yield Total(group[0].plan["brief"]["camera"]["title"], text, full is not None)


def _packs(entries: Sequence[Shot], charging: Charging | None) -> Iterator[Total]:
    """Every rig's packs from each of its shots to the next."""
    for group in shared([entry for entry in entries if rig_of(entry.plan)], "rig"):
        title = rig_name(group[0].plan)
        if charging is None:
            if len(group) > 1:
                text = say("total.not-charged", {"shots": shots_text(len(group))}, ())
                yield Total(title, text, False)
            continue
        lacks = [0.0] * len(_rated(group[0].plan))
        for before, after in pairwise(group):
            lacks = [lack + wh for lack, wh in zip(lacks, drawn_wh(before.plan), strict=True)]
            hours = hours_between(before, after, charging)
            left = charged(lacks, hours, charging)
            yield _charged(title, (before, after), (lacks, left), hours, charging)
            lacks = left


def _charged(
    title: str,
    shots: tuple[Shot, Shot],
    lacking: tuple[list[float], list[float]],
    hours: float,
    charging: Charging,
) -> Total:
    """What is charged from one shot to the next, and which of the packs that this one needs stay short.

    lacking: what the packs lack [Wh] before it and after it.
    """
    (before, after), (lacks, left) = shots, lacking
    names = [pack["name"] for pack in _rated(after.plan)]
    needed = len(after.plan["power"]["changes"]) + 1
    short = [n for n in range(needed) if left[n] > LEAST_WH]
    args = {
        "before": before.plan["shot"]["title"],
        "after": after.plan["shot"]["title"],
        "leaves": _leaves_ms(after.plan),
        "used": ", ".join(name for name, lack in zip(names, lacks, strict=True) if lack > LEAST_WH),
        "needs": floor(sum(lacks) / _into_w(charging) * HOUR_MS / 60_000 + 0.5) * 60_000,
        "has": floor(hours * HOUR_MS / 60_000) * 60_000,
        "short": ", ".join(names[n] for n in short),
        "rest": sum(left[n] for n in short),
    }
    lost = "total.charged-short" if hours > 0 else "total.charged-none"
    spans = after.plan["brief"]["place"]["zone"]["spans"]
    return Total(title, say(lost if short else "total.charged", args, spans), bool(short))


def drawn_wh(plan: dict[str, Any]) -> list[float]:
    """What each pack of the rig gives out of its cells [Wh], changed in the middle of each range."""
    supply = rig_of(plan)
    assert supply is not None, "asked of a rig whose watt-hours are known"
    frames = plan["timing"]["frames"]
    middles = [(swap["from"]["frame"] + swap["until"]["frame"]) / 2 for swap in plan["power"]["changes"]]
    cuts = [0.0, *(_used_at(supply["used_wh"], frame, frames) for frame in middles), supply["total_wh"]]
    gone = [until - since for since, until in pairwise(cuts)]
    gone += [0.0] * (len(supply["packs"]) - len(gone))
    packs = _rated(plan)
    return [wh / pack["efficiency"] for wh, pack in zip(gone, packs, strict=True)]


def charged(lacks: Sequence[float], hours: float, charging: Charging) -> list[float]:
    """What is lacking [Wh] after so many hours, one pack after another."""
    rest, into_wh = [], hours * _into_w(charging)
    for lack in lacks:
        taken = min(lack, into_wh)
        into_wh -= taken
        rest.append(lack - taken)
    return rest


def hours_between(before: Shot, after: Shot, charging: Charging) -> float:
    """Hours with power at hand between the way back from one shot and setting out for the next."""
    spans = after.plan["brief"]["place"]["zone"]["spans"]
    back_ms = before.end_ms + (before.plan["brief"]["place"]["approach_ms"] or 0)
    from_s, until_s = back_ms / 1000, _leaves_ms(after.plan) / 1000
    hours = 0.0
    for day in range(local_day(spans, from_s) - 1, local_day(spans, until_s) + 1):
        opens_s = _instant(spans, day, charging["from_s"])
        closes_s = _instant(spans, day + (charging["until_s"] <= charging["from_s"]), charging["until_s"])
        hours += max(min(closes_s, until_s) - max(opens_s, from_s), 0.0) / 3600
    return hours


def _instant(spans: Sequence[Sequence[Any]], day: int, clock_s: int) -> int:
    """When [s UTC] the place's clock shows that; by the offset that is in force there."""
    local = day * DAY_S + clock_s
    return local - int(span_at(spans, local - span_at(spans, local)[1])[1])


def _leaves_ms(plan: Mapping[str, Any]) -> int:
    return int(plan["window"]["deadlines"][0]["time"]["utc_ms"])


def _into_w(charging: Charging) -> float:
    return float(charging["charger_w"] * charging["efficiency"])


def _rated(plan: Mapping[str, Any]) -> list[dict[str, Any]]:
    packs: list[dict[str, Any]] = plan["brief"]["rig"]["power"]["packs"]
    return packs


def _used_at(used_wh: Sequence[float], frame: float, frames: int) -> float:
    """At a frame, between the points of a line that the plan keeps."""
    at = (frame - 1) / frames * (len(used_wh) - 1)
    n = min(floor(at), len(used_wh) - 2)
    return used_wh[n] + (used_wh[n + 1] - used_wh[n]) * (at - n)
