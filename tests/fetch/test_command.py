"""`advisor weather` as a keeper runs it, and the commands that must never touch the network."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import forked
import pytest

DATA = Path(__file__).parents[1] / "data"


def advisor(*words, **environment):
    done = forked.advisor(*words, environment=environment)
    assert "Traceback" not in done.stderr + done.stdout
    return done


@pytest.fixture
def addresses(server):
    """The services stand in the local server; a real one is never asked."""
    return {
        "ADVISOR_FORECAST_URL": server.url,
        "ADVISOR_DAILY_URL": f"{server.url}/daily",
        "ADVISOR_REFERENCE_URL": f"{server.url}/crn",
    }


def test_fetched_then_offline_then_a_fault(server, site, reply, ncei_answer, addresses):
    server.on("/daily", reply(ncei_answer()))
    done = advisor("weather", site, "--from", "2012", **addresses)
    assert done.returncode == 0
    assert "history of 1,461 days, 2012-01-01 to 2015-12-31, fetched just now" in done.stdout
    assert "forecast: none" in done.stdout
    assert done.stderr.count("\n") == 1
    assert "forecast not renewed: 127.0.0.1" in done.stderr
    shown = advisor("weather", site, "--offline", **addresses)
    assert (shown.returncode, shown.stderr) == (0, "")
    assert "history of 1,461 days" in shown.stdout
    count = len(server.asked)
    history = site / "fetched" / "history.csv"
    old = history.read_text().replace("\n# expires: 2", "\n# expires: 1")
    history.write_text(old)
    server.on("/daily", reply("<html>"))
    done = advisor("weather", site, "--from", "2012", **addresses)
    assert done.returncode == 0
    assert len(server.asked) > count
    assert "history not renewed" in done.stderr
    assert "kept is the history of 1,461 days" in done.stderr
    assert history.read_text() == old


def test_nothing_at_all_is_one_line_and_status_2(site, addresses):
    done = advisor("weather", site, **addresses)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "forecast not renewed" in done.stderr
    assert "history not renewed" in done.stderr
    done = advisor("weather", site, "--offline", **addresses)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "nothing has been fetched yet" in done.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--station", "x"), "--station: 'x' is no station"),
        (("--from", "1066"), "--from: 1066 is no year of a record"),
    ],
)
def test_bad_options(words, said, site, addresses):
    done = advisor("weather", site, *words, **addresses)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert said in done.stderr


def test_answers_rest_on_what_was_fetched_and_say_how_old_it_is(
    server, site, reply, ncei_answer, addresses
):
    server.on("/daily", reply(ncei_answer()))
    advisor("weather", site, "--from", "2012", **addresses)
    asked = len(server.asked)
    done = advisor("ask", site, "should I aerate", "--on", "2015-12-31", **addresses)
    assert done.returncode == 0, done.stderr
    assert "station USW00024233 SEATTLE TACOMA AIRPORT, WA US, through today" in done.stdout
    done = advisor("week", site, "--on", "2016-01-04", **addresses)
    assert done.returncode == 0, done.stderr
    assert "4 days old" in " ".join(done.stdout.split())
    assert len(server.asked) == asked


def test_other_commands_do_not_load_the_network(site):
    """What is not loaded cannot block."""
    program = (
        "import sys; from pathlib import Path\n"
        "from advisor.cases.open_folder import open_case\n"
        "from advisor.rulebook.read_rulebook import read_rulebook\n"
        f"open_case(Path({str(site)!r}), read_rulebook())\n"
        "import advisor.cli.main\n"
        "print(sorted({'httpx', 'tenacity', 'advisor.fetch'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
