"""Limits in plain words: noted, refused with what to write, or no limit at all."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.answers.limit_note import noted_lines
from advisor.answers.limit_words import FILLERS, KINDS, MACHINES, NEGATED, ONLY
from advisor.answers.record import propose_note, propose_work
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.records.entry import JournalRules, check_new
from advisor.records.journal import Journal
from advisor.records.limit_values import LIMIT_NAMES
from advisor.records.limits import NO_LIMITS, Limits
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 9, 3)  # a Thursday
SITE = """\
format: 1
name: Invented lawn
place: {latitude: 41.2, longitude: -81.9, elevation: 820 ft, time_zone: America/New_York,
        country: US, subdivision: OH}
stand: [{grass: Kentucky bluegrass, share: 100 %}]
areas: [{name: front, size: "3,000 ft2"}]
tools: [{kind: core_aerator, have: hired}, {kind: vertical_mower, have: hired}]
"""
SAID = [
    ("only two hours on saturday", "work", "2026-09-05 09:00 to 11:00"),
    ("On Saturday I've only got two hours.", "work", "2026-09-05 09:00 to 11:00"),
    ("I've just 90 minutes on Saturday", "work", "2026-09-05 09:00 to 10:30"),
    ("two and a half hours at most on sunday", "work", "2026-09-06 09:00 to 11:30"),
    ("i have two hours on saturday", "work", "2026-09-05 09:00 to 11:00"),
    ("only two hours from 2 pm on saturday", "work", "2026-09-05 14:00 to 16:00"),
    ("only two hours a day", "work", "09:00 to 11:00"),
    ("on Saturday I can only work from 9 to 11", "work", "2026-09-05 09:00 to 11:00"),
    ("only from 9 to 5 on saturday", "work", "2026-09-05 09:00 to 17:00"),
    ("only 9 to 11 and 14 to 16 on saturday", "work",
     "2026-09-05 09:00 to 11:00, 2026-09-05 14:00 to 16:00"),
    ("not before ten on sunday", "work", "2026-09-06 10:00 to 24:00"),
    ("on sunday i can't start before ten", "work", "2026-09-06 10:00 to 24:00"),
    ("not before ten or after six on sunday", "work", "2026-09-06 10:00 to 18:00"),
    ("not after 5 pm on saturday", "work", "2026-09-05 00:00 to 17:00"),
    ("no time on sunday", "work", "2026-09-06 never"),
    ("I can't on Saturday", "work", "2026-09-05 never"),
    ("i'm busy on saturday afternoon", "work",
     "2026-09-05 00:00 to 12:00, 2026-09-05 18:00 to 24:00"),
    ("no time saturday morning", "work", "2026-09-05 12:00 to 24:00"),
    ("no work on sundays", "work", "sunday never"),
    ("away on saturdays", "work", "saturday never"),
    ("i only work mornings on weekends", "work",
     "saturday 08:00 to 12:00, sunday 08:00 to 12:00"),
    ("only on weekends", "work",
     "monday never, tuesday never, wednesday never, thursday never, friday never"),
    ("i have time again", "work", "none"),
    ("away from 10 to 24 september", "away", "2026-09-10 to 2026-09-24"),
    ("away september 10 to 24", "away", "2026-09-10 to 2026-09-24"),
    ("I'm away 10-24 September", "away", "2026-09-10 to 2026-09-24"),
    ("we're gone from sept 10 until sept 24", "away", "2026-09-10 to 2026-09-24"),
    ("on vacation from the 10th to the 24th", "away", "2026-09-10 to 2026-09-24"),
    ("away from the 28th to the 3rd", "away", "2026-09-28 to 2026-10-03"),
    ("away from 28 december to 3 january", "away", "2026-12-28 to 2027-01-03"),
    ("nobody is home from 10 to 24 september", "away", "2026-09-10 to 2026-09-24"),
    ("on holiday next week", "away", "2026-09-07 to 2026-09-13"),
    ("out of town this weekend", "away", "2026-09-05 to 2026-09-06"),
    ("I won't be home on saturday", "away", "2026-09-05"),
    ("away again next week", "away", "2026-09-07 to 2026-09-13"),
    ("away until 20 september", "away", "2026-09-03 to 2026-09-20"),
    ("away for two weeks from 12 september", "away", "2026-09-12 to 2026-09-25"),
    ("travelling the next ten days", "away", "2026-09-03 to 2026-09-12"),
    ("away on saturday 12 september and the 19th", "away", "2026-09-12, 2026-09-19"),
    ("no lifting, my back is out", "lifting", "no"),
    ("my back is out, no lifting", "lifting", "no"),
    ("the doctor says no heavy lifting", "lifting", "no"),
    ("I can't lift heavy things", "lifting", "no"),
    ("i can lift again", "lifting", "yes"),
    ("my back is fine again", "lifting", "yes"),
    ("at most 100 dollars for hire", "hire", "100"),
    ("no more than $1,500.50 on hire", "hire", "1500.50"),
    ("I don't want to spend more than 100 on renting machines", "hire", "100"),
    ("rental budget 120 dollars", "hire", "120"),
    ("no money for hire", "hire", "0"),
    ("no limit on hire", "hire", "none"),
    ("no machines", "machines", "no"),
    ("by hand only", "machines", "no"),
    ("no power tools", "machines", "no"),
    ("i can use machines again", "machines", "yes"),
    ("my son helps on saturday morning", "helpers", "2026-09-05 08:00 to 12:00"),
    ("my neighbour gives me a hand on sunday from 2 to 5", "helpers",
     "2026-09-06 14:00 to 17:00"),
    ("two friends help on saturday from 8 to 9", "helpers",
     "2026-09-05 08:00 to 09:00, 2026-09-05 08:00 to 09:00"),
    ("my son and my daughter help on saturday 8-9", "helpers",
     "2026-09-05 08:00 to 09:00, 2026-09-05 08:00 to 09:00"),
    ("help from my wife every saturday morning", "helpers", "saturday 08:00 to 12:00"),
    ("no noise on sundays", "engines", "sunday never"),
    ("no noise on sundays, the neighbours complain", "engines", "sunday never"),
    ("no machines on sunday", "engines", "2026-09-06 never"),
    ("no mowers on sundays", "engines", "sunday never"),
    ("no noise before ten on sundays", "engines", "sunday 10:00 to 24:00"),
    ("quiet hours from 12 to 2", "engines", "00:00 to 12:00, 14:00 to 24:00"),
    ("engines only from 9 to 18", "engines", "09:00 to 18:00"),
    ("no noise in the morning on sundays", "engines", "sunday 12:00 to 24:00"),
    ("noise is fine again", "engines", "none"),
    ("the corer is only to be had on the 12th", "hired_on", "core_aerator: 2026-09-12"),
    ("i can rent the dethatcher only next weekend", "hired_on",
     "vertical_mower: 2026-09-12 to 2026-09-13"),
    ("the aerator is only available on the 12th and the 19th", "hired_on",
     "core_aerator: 2026-09-12, 2026-09-19"),
    ("the hire shop is closed on sundays", "shop", "sunday never"),
    ("the rental shop is open from 8 to 12 on saturdays", "shop", "saturday 08:00 to 12:00"),
    ("no more limits", "all", "none"),
    ("forget my limits", "all", "none"),
    ("no more limits on noise", "engines", "none"),
]  # fmt: skip
REFUSED = [
    ("only two hours", "says no day"),
    ("only on saturday", "says no hours"),
    ("away", "from when to when"),
    ("away from friday", "does not say until when"),
    ("away from 24 september 2026 to 10 september 2026", "does not run forwards"),
    ("away on 9/10", "may be read in two ways"),
    ("away on sunday 12 september", "is a Saturday, not a Sunday"),
    ("not away next week", "over by themselves"),
    ("no lifting until friday", "'i can lift again'"),
    ("at most 100 euros for hire", "prices of this lawn are in USD"),
    ("no more than 100 or 120 dollars for hire", "one sum of money"),
    ("at most 100 dollars for hire on saturday", "not for days"),
    ("my son helps", "on which day"),
    ("my son helps on saturday", "from when to when"),
    ("friends help on saturday morning", "how many"),
    ("my son can't help on saturday", "when they come"),
    ("no noise", "no day or hour"),
    ("no noise after 8", "morning or the evening"),
    ("the corer is only to be had on saturdays", "on which dates"),
    ("the slit seeder is only to be had on the 12th", "no machine that you hire"),
    ("no lifting, no machines", "more than one limit"),
    ("i can't work without machines", "denies something twice"),
    ("my back is out", "'no lifting'"),
    ("i'm back on the 24th", "'away from 10 to 24 september'"),
    ("no noise on sundays and holidays", "'no noise on sundays'"),
    ("i have little time on saturday", "'only two hours on saturday'"),
    ("at most 100 dollars", "cannot tell"),
    ("lawn green and growing, no machines", "one note for each"),
    ("no lifting, i cored yesterday", "is about core aeration"),
]  # fmt: skip
NO_LIMITS_THESE = [
    ("thatch 0.8 in", "observation"),
    ("grass height 3 in, only two hours on saturday", "observation"),
    ("want overseeding", "wish"),
    ("don't want to core", "wish"),
    ("cored with a helper yesterday", ""),
    ("cored tomorrow", ""),
    ("no mowing on sundays", ""),
    ("watering helps", ""),
    ("the grass is gone", ""),
    ("summer is not here", ""),
    ("it lifts off", ""),
    ("engine off, plug out, before touching them", ""),
    ("thatch is high, over the limit", ""),
    ("holiday on monday", ""),
    ("none from June to August", ""),
    ("free on friday", ""),
    ("can i lift again", ""),
    ("no machines?", ""),
    ("is the hire shop closed on sundays", ""),
    ("my wife can't lift", ""),
    ("my son is away next week", ""),
    ("no lifting over 50 pounds", ""),
    ("no noise on sundays if it rains", ""),
]


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    folder = tmp_path_factory.mktemp("lawn")
    (folder / "site.yaml").write_text(SITE)
    return replace(open_case(folder, read_rulebook()), on=ON)


@pytest.mark.parametrize(("words", "what", "value"), SAID)
def test_what_is_said_is_noted(lawn: Case, words: str, what: str, value: str) -> None:
    proposal = propose_note(lawn, words)
    entry = proposal.entry
    assert (entry.kind, entry.what, entry.value) == ("limit", what, value)
    assert (entry.date, entry.area, entry.note) == (ON, "", words)
    assert proposal.says.startswith("Noted: ")
    assert not proposal.asks


def test_each_kind_of_limit_is_among_them() -> None:
    assert {what for _, what, _ in SAID} == {*LIMIT_NAMES, "all"}


@pytest.mark.parametrize(("words", "says"), REFUSED)
def test_what_is_unclear_is_refused_with_what_to_write(lawn: Case, words: str, says: str) -> None:
    with pytest.raises(BadInput) as caught:
        propose_note(lawn, words)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_shown_as_understood_is(lawn: Case, kind: str) -> None:
    shown = KINDS[kind].such.split("'")[1::2]
    assert shown
    for words in shown:
        assert propose_note(lawn, words).entry.what == kind


@pytest.mark.parametrize(("words", "kind"), NO_LIMITS_THESE)
def test_what_is_about_something_else_is_no_limit(lawn: Case, words: str, kind: str) -> None:
    if kind:
        assert propose_note(lawn, words).entry.kind == kind
        return
    with pytest.raises(BadInput) as caught:
        propose_note(lawn, words)
    assert "reads as a limit" not in str(caught.value)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("only from 9 to 11 on the 12th", "on Saturday 12 Sep you have from 09:00 to 11:00"),
        ("only two hours on saturday", "from 09:00 to 11:00; for other hours say when"),
        ("no time on saturday and sunday", "from Saturday 5 Sep to Sunday 6 Sep you have no hours"),
        ("no noise on weekends", "every Saturday and Sunday no engine may be heard"),
        ("two friends help on the 12th from 8 to 12", "on Saturday 12 Sep 2 more people help from"),
        ("away 28 december to 3 january", "from Monday 28 Dec to Sunday 3 Jan 2027"),
        ("at most 100 dollars for hire", "may cost 100 USD at most"),
        ("no lifting", "until you write 'i can lift again'"),
        ("no more limits", "what 'limits' of site.yaml says still holds"),
    ],
)
def test_it_is_read_back_in_words(lawn: Case, words: str, says: str) -> None:
    assert says in propose_note(lawn, words).says


def test_dew_and_the_hours_of_the_site_bound_where_two_hours_lie(lawn: Case) -> None:
    """On 24 October the sun rises there at about 7:47; grass is dry two hours later."""
    october = replace(lawn, on=dt.date(2026, 10, 22))
    assert propose_note(october, "only two hours on saturday").entry.value.endswith(
        " 10:00 to 12:00"
    )
    afternoons = Limits(work=(("", 14 * 60, 18 * 60),))
    bound = replace(lawn, site=replace(lawn.site, limits=afternoons))
    assert propose_note(bound, "only two hours on saturday").entry.value.endswith("14:00 to 16:00")


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("not before ten on saturday", "2026-09-05 10:00 to 12:00"),
        ("not before ten on saturdays", "saturday 10:00 to 12:00"),
        ("not before four on sunday", "2026-09-06 16:00 to 17:00"),
        ("not after noon on sunday", "2026-09-06 never"),
        ("only from 9 to 11 on saturday", "2026-09-05 09:00 to 11:00"),
    ],
)
def test_a_note_of_hours_that_are_not_there_gives_no_new_ones(
    lawn: Case, words: str, value: str
) -> None:
    given_hours = Limits(work=(("", 480, 720), ("sunday", 780, 1020)))
    bound = replace(lawn, site=replace(lawn.site, limits=given_hours))
    assert propose_note(bound, words).entry.value == value


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("only two hours on saturday", "2026-09-05 "),
        ("only two hours on saturdays", "saturday "),
        ("only two hours a day", ""),
    ],
)
def test_other_hours_can_be_told_as_it_says(lawn: Case, words: str, day: str) -> None:
    said = propose_note(lawn, words).says.rpartition(": ")[2].strip("'")
    assert propose_note(lawn, said).entry.value == f"{day}14:00 to 16:00"


def test_the_noted_limits_that_stand_are_listed(lawn: Case) -> None:
    notes = ("no lifting", "only two hours on saturday", "at most 100 dollars for hire",
             "at most 80 dollars for hire")  # fmt: skip
    entries = tuple(
        replace(
            check_new(propose_note(lawn, words).entry, JournalRules({}, frozenset(), ON)), id=id
        )
        for id, words in zip(("r1", "r2", "r3", "r4"), notes, strict=True)
    )
    noted = replace(lawn, journal=Journal(entries))
    ids = [line.rpartition("(")[2] for line in noted_lines(noted)]
    assert ids == ["r1)", "r2)", "r4)"]
    assert len([*noted_lines(replace(noted, on=dt.date(2026, 9, 6)))]) == 2


def test_done_says_that_it_is_a_note(lawn: Case) -> None:
    with pytest.raises(BadInput) as caught:
        propose_work(lawn, "no lifting")
    assert '"no lifting"' in str(caught.value)
    assert "records a limit" in str(caught.value)


WORDS = sorted(
    {
        *NEGATED, *ONLY, *FILLERS, "saturday", "sundays", "from", "to", "9", "24", "10", "$", "100",
        "september", "the 12th", "next week", "until", "morning", "two hours", "a day", "every",
        "99999", "9999-12-31", "2026-09-10", "for", "weeks", "25:00", "noon", ",", "5 pm", "limits",
        *(name for names in MACHINES.values() for name in names),
        *(word for kind in KINDS.values() for word in kind.heads | kind.with_),
    }
)  # fmt: skip


@settings(max_examples=300, deadline=None, derandomize=True)
@given(words=st.lists(st.sampled_from(WORDS), min_size=1, max_size=9))
def test_any_words_make_a_record_that_can_be_read_or_a_refusal(
    lawn: Case, words: list[str]
) -> None:
    try:
        proposal = propose_note(lawn, " ".join(words))
    except BadInput:
        return
    entry = check_new(proposal.entry, JournalRules({}, frozenset(), ON))
    stands = replace(lawn, journal=Journal((entry,))).limits
    assert (stands == NO_LIMITS) == (proposal.entry.value in ("none", "yes"))
