"""Which time zones a place may name, and which one a slip of the pen meant.

The data also hold abbreviations, old single names and Etc/, which are traps: 'MST' never has summer time,
'CET' has it, and 'Etc/GMT+3' is three hours behind Greenwich.
"""

from __future__ import annotations

from functools import cache

from .words import Wrong, near, show
from .zones import names, places

PLACE_RIGHT = "a zone named by a place, such as 'Asia/Amman', not an abbreviation"
ETC_RIGHT = "a zone named by a place, such as 'Asia/Amman': the signs of Etc/ are the other way round"

# 'Lisabon' and 'Lisboa' are as near to 'Lisbon' as that; 'Bern' is not so near to 'Berlin'.
_REALLY_NEAR = 0.82


@cache
def usable() -> dict[str, str]:
    """The zones that a place may name, by their letters alone: UTC, and all that name a place in a region."""
    kept = (name for name in names() if name == "UTC" or ("/" in name and not name.startswith("Etc/")))
    return {_letters(name): name for name in kept}


def zone_name(text: str) -> str:
    """The zone itself; raises Wrong for any other text, with a guess only where it cannot mislead."""
    letters = _letters(text)
    if usable().get(letters) == text:
        return text
    if letters.startswith("etc/"):
        raise Wrong(show(text), ETC_RIGHT)
    meant = usable().get(letters) or _meant(letters)
    raise Wrong(show(text), f"'{meant}' (did you mean that?)" if meant else PLACE_RIGHT)


def _meant(letters: str) -> str | None:
    """A city's name alone must be right; after its region it may be misspelt."""
    region, slash, city = letters.rpartition("/")
    if not slash:
        return {_letters(name.rpartition("/")[2]): name for name in places()}.get(city)
    beside = {
        each.rpartition("/")[2]: name for each, name in usable().items() if each.startswith(f"{region}/")
    }
    guess = near(city, beside, _REALLY_NEAR)
    return beside[guess] if guess else None


def _letters(text: str) -> str:
    return "".join(text.casefold().replace("_", " ").split())
