"""Every text of the checklist: titles, manners, items, notes and what stands after a write-in line.

The templates are said by `sheet` with its formatters.  Python only: the phone's markup holds the texts.
Wording follows the published work on flight-deck checklists (Degani & Wiener 1990, NASA CR-177549, appendix
A, rule 4): an item states the state or the value itself, never "checked".  A section's title is its
objective, the language plain (A Checklist for Checklists, with Gawande, The Checklist Manifesto, 2009).
"""

from __future__ import annotations

import json
from importlib.resources import files

WORDS: dict[str, str] = json.loads(files(__package__).joinpath("words.json").read_text("utf-8"))
