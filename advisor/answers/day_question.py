"""Questions of somebody who is at work: "can I stop here?", "I'm two hours behind".

They name no job, so they are read before a job is looked for; and only if all of the sentence is
understood, so that no question about a job is taken for one.
"""

from __future__ import annotations

import re
from typing import Literal

from advisor.answers.question_text import plain
from advisor.base.record import Record


class DayQuestion(Record, frozen=True):
    """delay: minutes behind the plan; None where nobody said how many. at: minutes after midnight;
    None where no hour was told."""

    kind: Literal["stop", "behind"]
    delay: int | None = None
    at: int | None = None


_LONGEST = 120
"""Characters of such a question; nobody at work writes more (ours)."""
_ONES = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "ten": 10, "fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40,
    "a couple of": 2, "couple of": 2, "half an": 0.5, "half a": 0.5, "one and a half": 1.5,
}  # fmt: skip
_NUMBER = "|".join(sorted(map(re.escape, _ONES), key=len, reverse=True))
_HOUR = r"(?:at|it is|its|now|by) (?:(?P<noon>noon|midday)|(?P<h>[01]?\d|2[0-3])[:.](?P<m>[0-5]\d))"
_WHEN = (
    r"here|now|there|today|for today|for the day|for now|for a while|already|like this|as it is|"
    r"at this point|until tomorrow|till tomorrow|and go on tomorrow|and go in|safely|please|yet"
)
_STOP_WORDS = (
    r"stop|quit|leave it|leave off|call it a day|pack up|knock off|pause|break off|stop work|"
    r"stop working|leave the rest|leave it at that"
)
_TIRED = (
    r"(?:(?:i am|im|we are) (?:so |too |very |really |dead )?"
    r"(?:tired|exhausted|worn out|done in|knackered)|i have had enough|ive had enough|"
    r"it (?:is )?(?:starts|starting|begins|beginning) to rain|it is getting dark|its getting dark)"
)
_STOP = (
    rf"(?:(?:{_TIRED}|so|ok|hi|hey|well|sorry|please)[,.:;!]* )*"
    rf"(?:(?:can|may|could|should|shall|must) (?:i|we)(?: (?:just|already|safely|now|please))* "
    rf"|(?:is it|would it be|is that) (?:ok|okay|safe|fine|all right|alright) to "
    rf"|where (?:can|may|could|should) (?:i|we) (?:safely )?|(?:i|we) (?:want|need|have) to )"
    rf"(?:{_STOP_WORDS})(?:,? (?:{_WHEN}|{_HOUR}))*(?:,? {_TIRED})?[ ?!.]*"
)
_BEHIND = (
    rf"(?:(?:so|ok|hi|hey|well|sorry|help)[,.:;!]* )*"
    rf"(?:(?:i am|im|we are|were|i|we|am|it is|the work is|all is|everything is)?"
    rf"(?: ?run| ?running)?"
    rf"(?: now| already| about| around| some| at least| roughly)*) ?"
    rf"(?:(?P<number>{_NUMBER}|\d+(?:\.\d+)?) ?(?P<unit>hours?|hrs?|h|minutes?|mins?)"
    rf"(?P<half> and a half)? )?"
    rf"(?:behind|late)(?: (?:schedule|plan|the plan|my plan|with (?:it|the work|my work|"
    rf"everything)|today|now))*(?:[,.:;]? (?:{_HOUR}))?"
    rf"(?:[,.:;!?]* (?:what now|what (?:do|should|can) (?:i|we) do(?: now)?|"
    rf"what (?:still )?fits|what else fits|what can wait|what moves))?[ ?!.]*"
)
_WORD = re.compile(r"[a-z]+")
_SIGNS = {*_WORD.findall(_STOP_WORDS), "behind", "late"}
"""One of them stands in each such question; without one the patterns need not be compiled."""


def day_question(question: str) -> DayQuestion | None:
    """What somebody at work asks; None for any other question."""
    text = plain(question)
    words = set(_WORD.findall(text))
    if len(text) > _LONGEST or words.isdisjoint(_SIGNS):
        return None
    if found := re.fullmatch(_STOP, text):
        return DayQuestion("stop", at=_hour(found))
    if found := re.fullmatch(_BEHIND, text):
        return DayQuestion("behind", _delay(found), _hour(found))
    return None


def _hour(found: re.Match[str]) -> int | None:
    if found["noon"]:
        return 12 * 60
    return int(found["h"]) * 60 + int(found["m"]) if found["h"] else None


def _delay(found: re.Match[str]) -> int | None:
    if not found["number"]:
        return None
    told = found["number"]
    number = float(_ONES.get(told, told)) + (0.5 if found["half"] else 0)
    return round(number * (60 if found["unit"].startswith("h") else 1))
