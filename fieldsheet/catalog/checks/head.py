"""What catalog.toml says against itself and against the files that there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ...problems import Problem
from ..document import Document, tables
from ..draft import Draft
from ..models.head import HouseItem
from ..names import SECTIONS
from ..words import Loc, near, one_of, show


def check_head(head: Document, listed: Mapping[str, Sequence[str]]) -> Iterator[Problem]:
    """Every section has one role, and house items name roles and files that exist."""
    yield from _check_roles(head)
    for index, item in enumerate(tables(head, "house", HouseItem)):
        yield from _check_role(head, item, index)
        for kind in ("place", "rig", "camera"):
            name = item.get(kind)
            if name is not None and name not in listed[kind]:
                yield unknown_file(head, ("house", index, kind), kind, name, listed[kind])


def known_roles(head: Document | None) -> list[str] | None:
    """The names of the roles of catalog.toml, whatever their sections; None where nobody can tell."""
    if head is None or head.draft is None:
        return None
    raw = head.draft.raw.get("roles", None if head.given(("roles",)) else {})
    return list(raw) if isinstance(raw, dict) else None


def unknown_role(head: Document, loc: Loc, role: str, roles: list[str], file: str) -> Problem:
    """A role that catalog.toml does not have, named at a path of another table."""
    right = _a_name(role, roles) if roles else f"[roles] in {file} with {show(role)}"
    return head.problem(loc, f"the role {show(role)}, which {file} does not have", right)


def unknown_file(teller: Document, loc: Loc, kind: str, name: str, names: Sequence[str]) -> Problem:
    """A file of a kind that does not exist, named at a path of another one."""
    file = f"{kind}s/{name}.toml"
    right = _a_name(name, names) if names else f"a file {file}"
    return teller.problem(loc, f"{show(name)}, but there is no {file}", right)


def _a_name(name: str, names: Sequence[str]) -> str:
    """What would be right in place of an unknown name: the one that was meant, or a few that there are."""
    meant = near(name, names)
    return f"'{meant}' (did you mean that?)" if meant else one_of([f"'{other}'" for other in names[:8]])


def _check_roles(head: Document) -> Iterator[Problem]:
    raw: Any = head.draft.raw.get("roles") if head.draft else None
    if not isinstance(raw, dict):
        return
    holders: dict[str, str] = {}
    for role, sections in raw.items():
        for index, section in enumerate(sections if isinstance(sections, list) else []):
            if not isinstance(section, str) or section not in SECTIONS:
                continue
            holder = holders.setdefault(section, role)
            if holder != role:
                found = f"'{section}', which {show(holder)} has already"
                yield head.problem(("roles", role, index), found, "one role for each section")


def _check_role(head: Document, item: Draft, index: int) -> Iterator[Problem]:
    role, roles = item.get("role"), known_roles(head)
    if role is not None and roles is not None and role not in roles:
        yield unknown_role(head, ("house", index, "role"), role, roles, head.file)
