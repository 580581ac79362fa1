"""What no file shows alone: two rigs of one letter, a night of another age."""

from __future__ import annotations

import pytest

from fieldsheet.catalog.checks.across import MOST_YEARS

from .conftest import HARBOUR, Folder

TIMER = (HARBOUR / "rigs/timer.toml").read_text("utf-8")
YARD = (HARBOUR / "shots/yard.toml").read_text("utf-8")
WHY = "it tells rigs, packs and remotes apart at night"


def rig(harbour: Folder, stem: str, letter: str | None) -> None:
    """Another rig beside the three, with the letters P, T and W."""
    line = f'letter = "{letter}"\n' if letter else ""
    harbour.write(f"rigs/{stem}.toml", TIMER.replace('letter = "T"\n', line))


def nights(harbour: Folder, *years: int) -> list[str]:
    """What is told where shots lie in these years, and the three of the harbour's own in the first."""
    for stem in ("wall", "circle", "yard"):
        harbour.edit(f"shots/{stem}.toml", "2027-06-05", f"{years[0]}-06-05")
    for number, year in enumerate(years[1:]):
        harbour.write(f"shots/more-{number}.toml", YARD.replace("2027-06-05", f"{year}-06-05"))
    return [problem.found for problem in harbour.problems()]


def test_the_later_file_of_two_rigs_with_one_letter_is_told(harbour: Folder) -> None:
    rig(harbour, "crane", "W")
    (told,) = harbour.told()
    assert told.startswith("rigs/winch.toml:2: letter: found 'W', the letter of rigs/crane.toml; ")
    assert told.endswith(f"; right: another letter, such as 'A': {WHY}")


@pytest.mark.parametrize("first", ["A", None])
def test_a_letter_that_nobody_wrote_counts_too(harbour: Folder, first: str | None) -> None:
    rig(harbour, "crane", first)
    rig(harbour, "davit", None)
    (told,) = harbour.told()
    found = "found no letter, which makes it 'A', the letter of rigs/crane.toml"
    assert told == f"rigs/davit.toml:1: letter: {found}; right: another letter, such as 'B': {WHY}"


def test_every_rig_after_the_first_is_told(harbour: Folder) -> None:
    for stem in ("crane", "davit", "easel"):
        rig(harbour, stem, "P")
    assert [(problem.file, problem.found) for problem in harbour.problems()] == [
        ("rigs/davit.toml", "'P', the letter of rigs/crane.toml"),
        ("rigs/easel.toml", "'P', the letter of rigs/crane.toml"),
        ("rigs/post.toml", "'P', the letter of rigs/crane.toml"),
    ]


@pytest.mark.parametrize(
    ("line", "told"),
    [('letter = "pp"', "rigs/crane.toml:2: letter"), ('leter = "P"', "rigs/crane.toml:2: leter")],
)
def test_a_faulty_letter_is_told_alone(harbour: Folder, line: str, told: str) -> None:
    harbour.write("rigs/crane.toml", TIMER.replace('letter = "T"', line))
    assert [problem.split(": found")[0] for problem in harbour.told()] == [told]


def test_more_rigs_than_letters_are_too_many(harbour: Folder) -> None:
    for number, letter in enumerate("ABCDEFGHIJKLMNOQRSUVXYZA", start=10):
        rig(harbour, f"rig-{number}", letter)
    (told,) = harbour.told()
    assert told.startswith("rigs/rig-33.toml:2: letter: found 'A', the letter of rigs/rig-10.toml; ")
    assert told.endswith(f"; right: at most 26 rigs, each with its letter: {WHY}")


def test_nights_of_ten_years_are_one_catalog(harbour: Folder) -> None:
    assert MOST_YEARS == 10
    assert nights(harbour, 2027, 2030, 2037) == []


@pytest.mark.parametrize(
    ("years", "told"),
    [
        ((2027, 1907), ["1907-06-05, but the catalog's other nights are in 2027"]),
        ((2027, 2028, 1907), ["1907-06-05, but the catalog's other nights are in 2027 to 2028"]),
        ((2027, 2038), ["2038-06-05, but the catalog's other nights are in 2027"]),
        (
            (2027, 1907, 2029, 2050),
            [
                "1907-06-05, but the catalog's other nights are in 2027 to 2029",
                "2050-06-05, but the catalog's other nights are in 2027 to 2029",
            ],
        ),
        # Of as many on either side the later ones are believed.
        ((2027, 1997, 1997, 1997), ["1997-06-05, but the catalog's other nights are in 2027"] * 3),
    ],
)
def test_a_night_of_another_age_is_told(harbour: Folder, years: tuple[int, ...], told: list[str]) -> None:
    assert nights(harbour, *years) == told
