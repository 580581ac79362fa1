"""The whole program in one place: a catalog goes in, every file of its site comes out, or every problem.

Nothing here reads a clock, prints or writes; the commands of cli.py do.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import Any

from fieldsheet import __version__
from fieldsheet.catalog.powered import charging_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.checklists.checklist import checklist
from fieldsheet.locate import located
from fieldsheet.plan.better import better_of
from fieldsheet.plan.clashes import clashes
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.problems import CatalogProblems, Problem
from fieldsheet.sheet.clashes import clash_text
from fieldsheet.sheet.onpaper import by_twelve
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sheet.words import WORDS
from fieldsheet.site.beside import Beside
from fieldsheet.site.build import build_site
from fieldsheet.site.content import Content, bytes_of
from fieldsheet.site.entries import SiteShot
from fieldsheet.site.kept import Keep, Summed, under, unkept
from fieldsheet.sky.ephemeris import YEARS
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky

# How far the phone can move a shot: from half a moon before the first to a year and a month after the last.
REACH_BEFORE = timedelta(days=15)
REACH_AFTER = timedelta(days=400)

REVISION_DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's base 32: no I, L, O, U to misread


@dataclass(frozen=True)
class Planned:
    """Sky packs by year, and by shot the Plan and the Sheet that is said of it."""

    packs: dict[int, bytes]
    plans: dict[str, dict[str, Any]]
    sheets: dict[str, dict[str, Any]]


def plan_catalog(catalog: Catalog) -> Planned:
    """Plans every shot; raises CatalogProblems with those of the planning."""
    planned, problems = plan_sound(catalog)
    if problems:
        raise CatalogProblems(problems)
    return planned


def plan_sound(catalog: Catalog | None, keep: Keep = unkept) -> tuple[Planned, list[Problem]]:
    """The shots that can be planned, and what is wrong with the others; nothing of no catalog.

    keep: has the packs, plans and sheets that were made before.
    """
    problems, packs = [], {}
    plans: dict[str, dict[str, Any]] = {}
    sheets: dict[str, dict[str, Any]] = {}
    if catalog is not None:
        briefs = {shot_id: catalog.brief(shot_id) for shot_id in catalog.shots}
        packs = fit_packs([night_of(brief) for brief in briefs.values()], keep)
        sky = sky_of(packs)
        for shot_id, brief in briefs.items():
            try:
                plans[shot_id], sheets[shot_id] = _kept_shot(brief, sky, under(packs, keep))
            except PlanProblem as problem:
                problems += [located(catalog, brief, one) for one in (problem, *problem.others)]
    return Planned(packs, plans, sheets), problems


def on_paper(planned: Planned, clock_h: int) -> Planned:
    """What was planned as paper says it, the clock counting 24 or 12 hours; plans and pages count 24."""
    if clock_h == 24:
        return planned
    plans = {shot_id: by_twelve(whole) for shot_id, whole in planned.plans.items()}
    sheets = {shot_id: make_sheet(whole) for shot_id, whole in plans.items()}
    return replace(planned, plans=plans, sheets=sheets)


def press(
    catalog: Catalog, planned: Planned, beside: Sequence[Beside] = (), keep: Keep = unkept
) -> dict[str, Content]:
    """Relative path -> file of the whole site, with what stands beside its pages; keep as build_site."""
    shots = [SiteShot(plan=whole, sheet=planned.sheets[shot_id]) for shot_id, whole in planned.plans.items()]
    return build_site(
        catalog.title,
        catalog.id,
        shots,
        planned.packs,
        beside,
        clashes=clash_texts(planned),
        charging=charging_of(catalog.head),
        keep=keep,
    )


def clash_texts(planned: Planned) -> dict[str, list[str]]:
    """Date of a night -> what two of its shots need at the same time, in words."""
    texts: dict[str, list[str]] = {}
    for clash in clashes(list(planned.plans.values())):
        text = clash_text(clash)
        for night in sorted({clash[side]["window"]["night"] for side in ("first", "second")}):
            texts.setdefault(night, []).append(text)
    return texts


def _kept_shot(brief: dict[str, Any], sky: Sky, keep: Keep) -> list[Summed]:
    """Plan and sheet are JSON values alone, so that they read back as they were."""

    def make() -> bytes:
        whole = plan_shot(brief, sky, {})
        return json.dumps([whole, make_sheet(whole)]).encode()

    key = json.dumps(["shot", brief], sort_keys=True)
    data = bytes_of(keep(key, make))
    total = hashlib.sha256(data).hexdigest()
    return [Summed(each, f"{total} {n}") for n, each in enumerate(json.loads(data))]


def plan_shot(brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> dict[str, Any]:
    """The Plan as everything after it reads it, with what only the desk makes of it. Raises PlanProblem."""
    bare = plan(brief, sky, changes)
    return {
        **bare,
        "revision": revision(brief),
        "checklist": checklist(brief, bare),
        "better": better_of(bare, sky),
    }


def revision(brief: dict[str, Any]) -> str:
    """Six characters that name a brief and what reads it: the same ones promise the same numbers and words.

    The night that a phone turns to is not in it: card and page keep the revision of the printed plan.
    """
    read = {"brief": brief, "version": __version__, "words": WORDS}
    text = json.dumps(read, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    number = int.from_bytes(hashlib.sha256(text.encode()).digest()[:4], "big") >> 2
    return "".join(REVISION_DIGITS[number >> shift & 31] for shift in range(25, -1, -5))


def night_of(brief: Mapping[str, Any]) -> date:
    """The date that a brief is planned for."""
    return date.fromisoformat(brief["night"]["date"])


def fit_packs(nights: Sequence[date], keep: Keep = unkept) -> dict[int, bytes]:
    """Year -> sky pack, for every year within reach of the nights; keep: has those that were fitted before.

    A night outside the ephemeris adds no year: its plan then says that there is no sky for it.
    """
    first, last = YEARS
    known = [night for night in nights if first <= night.year <= last] or [date(last, 12, 31)]
    from_year = max(first, (min(known) - REACH_BEFORE).year)
    to_year = min(last, (max(known) + REACH_AFTER).year)
    years = range(from_year, to_year + 1)
    return {year: bytes_of(keep(f"sky of {year}", partial(fit_year, year))) for year in years}


def sky_of(packs: Mapping[int, bytes]) -> Sky:
    """The sky that packs hold, read back from their bytes: what is planned with is what is shipped."""
    return Sky([read_pack(data) for data in packs.values()])
