"""A keeper in the folder where the site lies, who looks at views and types what they print."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from printed import Printed, Ran, commands_in, of_calendar, of_json, of_mail, of_page, run

from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.rulebook.read_rulebook import read_rulebook

KEPT = ("weather.csv", "normals.csv")
"""Files of a site that no command changes."""


@dataclass(frozen=True)
class Keeper:
    """home: where the keeper stands. site: how the site's folder is typed there. on: the day."""

    home: Path
    site: str
    on: dt.date

    @property
    def folder(self) -> Path:
        return self.home / self.site

    def case(self) -> Case:
        return open_case(self.folder, read_rulebook(), self.on)

    def types(self, *argv: str, answers: str | None = "") -> Ran:
        with contextlib.chdir(self.home):
            return run(*argv, answers=answers)

    def does(self, *argv: str, answers: str = "y\n") -> str:
        """What a command says. It must go well."""
        ran = self.types(*argv, answers=answers)
        assert ran.status == 0, f"{argv}: {ran.refused}"
        return ran.said

    def shown(self, *argv: str, answers: str | None = None) -> str:
        """What a view shows, a refusal too, whatever its form."""
        ran = self.types(*argv, answers=answers)
        said = ran.said
        if "--json" in argv:
            said = of_json(said)
        elif "html" in argv:
            said = of_page(said)
        elif "eml" in argv:
            said = of_mail((self.home / "week.eml").read_bytes())
        told = [said, ran.refused]
        for option, read in (("--html", of_page), ("--ics", of_calendar)):
            if option in argv:
                file = self.home / argv[argv.index(option) + 1]
                told.append(read(file.read_text(encoding="utf-8")))
        return "\n".join(told)

    @contextlib.contextmanager
    def as_it_was(self) -> Iterator[None]:
        """Whatever is changed in the site's folder meanwhile is undone afterwards."""
        old = {p: p.read_bytes() for p in self._files()}
        try:
            yield
        finally:
            for path in self._files():
                if path not in old:
                    path.unlink()
            for path, raw in old.items():
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(raw)

    def _files(self) -> list[Path]:
        return [p for p in self.folder.rglob("*") if p.is_file() and p.name not in KEPT]

    def printed(self, *view: str, answers: str | None = None) -> Iterator[Printed]:
        """The commands that a view prints."""
        with self.as_it_was():
            shown = self.shown(*view, answers=answers)
        yield from commands_in(shown)
