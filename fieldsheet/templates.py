"""Where the pages' and cards' templates are: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path


def templates() -> Path:
    """The folder with pages/, parts/, cards/ and app/.

    Raises FileNotFoundError, in words, where the package was copied without it.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "_templates", package.parent / "site_templates"):
        if (folder / "pages").is_dir():
            return folder
    raise FileNotFoundError(f"the templates are missing beside {package}: install fieldsheet again")
