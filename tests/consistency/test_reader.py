"""The reader reads what stands there: sentences changed by hand are told apart."""

from __future__ import annotations

import datetime as dt

from claims import contradictions, counts
from reader import Claim, Reader, bullets, events, html_lines, minutes

READER = Reader(("Overseeding", "Feeding", "Mowing"), ("front", "back"), dt.date(2026, 9, 5))
WEEK = """LAWN

THIS WEEK

[ ] Overseeding, front – by 15 Sep
    Enough good turf is left [1].
    1 h to 2 h 15 min for one person; 3.0 to 4.5 lb of tall
    fescue seed.

Also to do: mowing (by 10 Nov).
"""
ANSWER = """Overseeding, front (tall fescue), 5 Sep

Do it – by 15 Sep.

When
  The season (autumn) opened about 17 Aug; it closes about 20 Sep, in 1 year
  of 10 by 15 Sep (29 years of weather here).

How much
  - 3.6 to 5.5 lb of tall fescue seed (steps).
"""


def said(claims) -> dict[tuple[str, str, str], object]:
    return {(c.job, c.part, c.field): c.value for c in claims}


def test_a_week() -> None:
    assert said(READER.digest("week", WEEK.splitlines())) == {
        ("Overseeding", "front", "verdict"): "do",
        ("Overseeding", "front", "by"): dt.date(2026, 9, 15),
        ("Overseeding", "front", "minutes"): (60, 135),
        ("Overseeding", "front", "seed"): ("3.0", "4.5", "lb"),
        ("Mowing", "*", "by"): dt.date(2026, 11, 10),
    }


def test_each_part_of_a_job_has_its_own_minutes() -> None:
    week = (
        "[ ] Feeding, front and back – by 15 Sep\n    It is hungry.\n"
        "    Front: 25 min for one person. Back: 10 min for one person.\n"
    )
    found = said(READER.digest("week", week.splitlines()))
    assert found["Feeding", "front", "minutes"] == (25, 25)
    assert found["Feeding", "back", "minutes"] == (10, 10)
    assert found["Feeding", "back", "by"] == dt.date(2026, 9, 15)


def test_a_page_reads_like_the_text() -> None:
    page = (
        "<style>p {}</style><h2>This week</h2><h3>Overseeding, front – by 15 Sep</h3>"
        "<p>1 h to 2 h 15 min for one person; 3.0 to 4.5 lb of <b>tall</b> fescue seed.</p>"
        "<h2>By when</h2>"
    )
    found = said(READER.digest("page", html_lines(page)))
    assert found.items() <= said(READER.digest("week", WEEK.splitlines())).items()
    assert len(found) == 4


def test_an_answer_and_a_contradiction() -> None:
    found = [*READER.digest("week", WEEK.splitlines()), *READER.answers("ask", ANSWER)]
    assert said(found)["Overseeding", "front", "closes early"] == dt.date(2026, 9, 15)
    assert counts(contradictions(found, READER.parts)) == {"seed": 1}
    later = ANSWER.replace("by 15 Sep.", "by 16 Sep.", 1)
    found = [*READER.digest("week", WEEK.splitlines()), *READER.answers("ask", later)]
    assert counts(contradictions(found, READER.parts)) == {"by": 1, "seed": 1}


def test_two_answers_and_amounts() -> None:
    two = ANSWER + "\n" + "-" * 78 + "\n\n" + ANSWER.replace(", front", ", back")
    assert {claim.part for claim in READER.answers("ask", two)} == {"front", "back"}
    text = """
HOW IT ADDS UP

Feeding, front: Hold until 6 Oct – seed
comes first.
  - 10.8 lb of 25-0-5 at the most.
      On 3,000 ft²: 2.7 lb of nitrogen.
"""
    assert said(READER.amounts("amounts", text)) == {
        ("Feeding", "front", "verdict"): "hold",
        ("Feeding", "front", "from"): dt.date(2026, 10, 6),
        ("Feeding", "front", "nitrogen"): ("2.7", "lb"),
        ("Feeding", "front", "product"): ("10.8", "lb", "25-0-5"),
    }
    counting = "Measure first.\n  10 × 27 ÷ 100 ÷ 3 = 0.9 lb of nitrogen."
    assert ("Feeding", "front", "nitrogen") not in said(
        READER.block("ask", "Feeding, front", counting.splitlines())
    )


def test_a_plan() -> None:
    text = "GET\n  - Overseeding, front: spread 3.6 to 5.5 lb of tall\n    fescue seed.\n"
    assert said(READER.plan("plan", text)) == {
        ("Overseeding", "front", "seed"): ("3.6", "5.5", "lb")
    }
    task = {"operation": "feeding", "area": "front", "minutes": 10, "find_out": ""}
    plan = {"days": [{"date": "2026-09-05", "tasks": [task, task]}]}
    found = list(READER.plan_json("plan", plan, {"feeding": "Feeding"}))
    assert said(found)["Feeding", "front", "minutes"] == (20, 20)
    hold = Claim("ask", "Feeding", "front", "verdict", "hold")
    assert counts(contradictions([*found, hold], READER.parts)) == {"plan against verdict": 1}
    over = Claim("ask", "Feeding", "front", "from", dt.date(2026, 9, 5))
    assert not counts(contradictions([*found, hold, over], READER.parts))
    later = Claim("ask", "Feeding", "front", "from", dt.date(2026, 9, 6))
    late = counts(contradictions([*found, hold, later], READER.parts))
    assert late == {"plan against verdict": 1}
    do = Claim("ask", "Feeding", "front", "verdict", "do")
    assert not counts(contradictions([*found, do], READER.parts))


def test_a_date_of_a_whole_job_is_that_of_the_first_part() -> None:
    first, then = dt.date(2026, 9, 12), dt.date(2026, 9, 15)
    parts = [
        Claim("ask", "Mowing", "front", "by", then),
        Claim("ask", "Mowing", "back", "by", first),
    ]
    right, wrong = (Claim("plan", "Mowing", "*", "by", day) for day in (first, then))
    assert not counts(contradictions([*parts, right], READER.parts))
    assert counts(contradictions([*parts, wrong], READER.parts)) == {"by of a whole job": 1}


def test_a_year_and_a_calendar() -> None:
    year = "\n".join(
        [
            "X",
            "FROM WHEN TO WHEN",
            "  - Overseeding (front): Open now, usually to 20 Sep; in 9 years",
            "    of 10 to 15 Sep or later.",
            "",
        ]
    )
    assert said(READER.year("year", year)) == {
        ("Overseeding", "front", "closes"): dt.date(2026, 9, 20),
        ("Overseeding", "front", "closes early"): dt.date(2026, 9, 15),
    }
    ics = (
        "BEGIN:VEVENT\r\nSUMMARY:Overseeding (front): in sea\r\n son\r\n"
        "DTSTART;VALUE=DATE:20260817\r\nDTEND;VALUE=DATE:20260921\r\n"
        "BEGIN:VALARM\r\nDESCRIPTION:x\r\nEND:VALARM\r\nEND:VEVENT\r\n"
    )
    assert [event["SUMMARY"] for event in events(ics)] == ["Overseeding (front): in season"]
    assert said(READER.calendar("ics", ics)) == {("Overseeding", "*", "by"): dt.date(2026, 9, 20)}


def test_small_shapes() -> None:
    assert [minutes(text) for text in ("35 min", "2 h", "1 h 5 min")] == [35, 120, 65]
    assert list(bullets("  - one\n    more\n  - two\n\nend")) == ["one more", "two"]
    assert READER.day("2 Jan") == dt.date(2027, 1, 2)
    assert READER.day("20 Aug") == dt.date(2026, 8, 20)
    assert READER.titled("Feeding, front and back") == ("Feeding", ("front", "back"))
    assert READER.titled("Feeding the birds") is None
