"""Modules and styles as the phone carries them: without comments and idle blanks, else unchanged.

The phone's store is counted in raw bytes, and a third of what is written for people to read is comment.  No
name is shortened and no statement rewritten: what is tested is what is served.
"""

from __future__ import annotations

import rcssmin
import rjsmin


def lean_module(source: str) -> bytes:
    """A JavaScript module without its comments, as UTF-8."""
    return str(rjsmin.jsmin(source)).encode() + b"\n"


def lean_style(source: str) -> bytes:
    """A style sheet without its comments, as UTF-8."""
    return str(rcssmin.cssmin(source)).encode() + b"\n"
