"""`advisor mail`, from a CSV file to an approved edition, as an editor types it."""

from __future__ import annotations

import json
import re

import pytest
from mail_samples import IDENTITY

from advisor.base.record import asdict
from advisor.mailing.outbox.run import goes_first

from .conftest import write_list

pytestmark = pytest.mark.slow


def test_from_a_file_to_an_approved_edition(tmp_path, run):
    folder = write_list(tmp_path / "list")
    rows = (folder / "readers.csv").read_text()
    (folder / "readers.csv").write_text(rows + "x,=1+1,50010,US,moss,,,2018-01-01,form,,\n")
    status, out, err = run(
        "import", folder / "readers.csv", "--list", folder, "--report", tmp_path / "refused.csv"
    )
    assert status == 2
    assert out == "6 rows: 5 added, 0 changed, 0 as before, 1 refused.\n"
    assert "readers.csv: line 7, grass: 'moss' is no grass of the rule book" in err
    report = (tmp_path / "refused.csv").read_text()
    assert "7,name,'=1+1," in report

    status, out, _ = run("readers", "--list", folder)
    assert (status, out.splitlines()[-1]) == (0, "5 are written to; 0 addresses must never be.")
    status, out, _ = run("prefer", "c@example.org", "--list", folder, "--form", "text")
    assert (status, out.partition(".")[0]) == (0, "units us; form text; weeks all")
    assert run("prefer", "c@example.org", "--list", folder, "--weeks", "never")[0] == 2
    assert run("prefer", "nobody@example.org", "--list", folder)[0] == 2
    status, _, err = run("suppress", "nobody@example.org", "--list", folder)
    assert (status, "no reader has this address, so nothing was changed" in err) == (2, True)
    assert run("suppress", "e@example.org", "--list", folder)[0] == 0
    week = ("--week", "2018-09-12")
    assert run("approve", folder, *week)[0] == 2
    status, out, err = run("dry-run", folder, *week, "--workers", 2, "--canary", 0.5)
    assert status == 0
    assert out.startswith("4 readers, 3 different digests; 4 copies written")
    assert "HTML: " in out
    assert "4 mails would go out; 0 readers want none this week." in out
    first = int(re.search("([0-9]) of them would go first", out)[1])
    assert first == sum(goes_first("2018-W37", id, 0.5) for id in (1, 2, 3, 4))
    assert run("dry-run", folder, *week, "--canary", 1.5)[0] == 2
    assert "central Iowa" in out
    assert out.count("Subject: ") == 4
    assert "3 of 3 digests" in err
    assert "0 copies written" in run("build", folder, *week)[1]
    assert run("note", folder, *week, "--note", "Hello.", "--reply-to", "me@example.org")[0] == 0
    assert run("note", folder, *week, "--note", "a\x00b")[0] == 2
    assert run("approve", folder, *week)[0] == 2
    assert "4 copies written" in run("build", folder, *week)[1]
    status, out, _ = run("preview", "a@example.org", "--list", folder, *week)
    assert status == 0
    assert out.startswith("Subject: ")
    assert "FROM THE EDITOR\n  Hello." in out
    page = tmp_path / "a.html"
    assert run("preview", "a@example.org", "--list", folder, *week, "--html", page)[0] == 0
    assert ">Hello.</p>" in page.read_text()
    status, _, err = run("approve", folder, *week)
    assert (status, "list.yaml: is missing" in err) == (2, True)
    yaml = "".join(f"{key}: {value}\n" for key, value in asdict(IDENTITY).items() if value)
    (folder / "list.yaml").write_text(f"format: 1\n{yaml}")
    assert run("approve", folder, *week)[:2] == (0, "Approved: 4 copies may go out.\n")
    assert run("approve", folder, *week)[0] == 2
    assert run("note", folder, *week, "--note", "Late.")[0] == 2

    status, out, _ = run("export", "c@example.org", "--list", folder)
    told = json.loads(out)
    assert told["reader"]["extra"]["thatch_depth"]["value"] == "0.8 in"
    assert len(told["copies"]) == 1
    assert run("erase", "c@example.org", "--list", folder)[0] == 0
    assert json.loads(run("export", "c@example.org", "--list", folder)[1])["reader"] is None
    assert run("export", "nobody@example.org", "--list", folder)[0] == 2
    status, out, _ = run("import", folder / "readers.csv", "--list", folder)
    assert out == "6 rows: 0 added, 0 changed, 3 as before, 3 refused.\n"


def test_a_list_without_a_folder_or_places_is_told(tmp_path, run):
    status, _, err = run("readers", "--list", tmp_path / "none")
    assert (status, "no such folder" in err) == (2, True)
    (tmp_path / "list").mkdir()
    status, _, err = run("build", tmp_path / "list", "--week", "2018-09-12")
    assert status == 2
    assert "places.csv: is missing; wanted a row 'file,name,latitude,longitude,kind'" in err
