"""Answers to what `new` asks, given in a test."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from fieldsheet.sky.sky import Sky
from fieldsheet.starts.asks import ASKED
from fieldsheet.starts.made import first_stage
from fieldsheet.starts.question import Given
from fieldsheet.starts.questions import QUESTIONS

NIGHT = date(2027, 6, 5)
HILL = {"place_title": "Crow Hill, north", "latitude_deg": "37.08", "longitude_deg": "-8.67"}


def answered(sky: Sky, typed: Mapping[str, str]) -> Given:
    """As if that had been typed, and the rest were as proposed."""
    known = Given(NIGHT, lambda day: sky)
    for section in ("place", "rig", "camera", "shot"):
        if section == "shot":
            known.stage = first_stage(known)
        for ask in ASKED[section]:
            question = QUESTIONS[ask.name]
            if question.applies(known):
                text = typed.get(ask.name) or question.default(known) or ""
                known.answers[ask.name] = question.read(text, known)
    return known
