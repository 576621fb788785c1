"""Where the rule files and templates lie: inside an installed package, or in a checkout."""

from __future__ import annotations

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]
_CHECKOUT = _PACKAGE.parent


def data_folder(name: str) -> Path:
    """The folder `rules` or `templates`. Raises `FileNotFoundError` if the installation lacks it.

    A wheel carries the folders inside the package; an editable install or a checkout has them
    beside it, and is recognised by its pyproject.toml.
    """
    inside = _PACKAGE / name
    if inside.is_dir():
        return inside
    beside = _CHECKOUT / name
    if beside.is_dir() and (_CHECKOUT / "pyproject.toml").is_file():
        return beside
    raise FileNotFoundError(f"folder '{name}' is missing; install the package again")


def own_folders() -> tuple[Path, ...]:
    """The folders of the program itself: its modules, rule files and templates."""
    return _PACKAGE, data_folder("rules"), data_folder("templates")


def real_path(path: Path) -> Path:
    """Where a path leads, through all links; unlike `Path.resolve` it bears links in a circle."""
    return Path(os.path.realpath(path))
