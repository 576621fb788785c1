"""The verdict in one line: a word, a date, and the one thing that decides it."""

from __future__ import annotations

import datetime as dt

from advisor.advice.item import Item
from advisor.answers.reasons import Reason
from advisor.answers.words import about
from advisor.base.dates import say_date
from advisor.base.text import uncapped
from advisor.decide.verdicts.decide import Decision
from advisor.decide.verdicts.forward import Clears, Later
from advisor.rulebook.model import RuleBook

A_FEW_DAYS = 3


def headline(item: Item, told: tuple[Reason, ...], book: RuleBook) -> str:
    """Such as `Do it – by 12 Sep` or `Not needed: thatch is 0.3 in`; the day is the item's."""
    if item.verdict == "do":
        return _do(item, book)
    if item.verdict == "wait" and (planned := _planned(item)):
        return f"Not yet – {planned}"
    return {
        "wait": _wait,
        "hold": _hold,
        "not_needed": _not_needed,
        "missed": _missed,
        "ruled_out": _ruled_out,
        "measure": _measure,
    }[item.verdict](item.decision, told, book)


def _do(item: Item, book: RuleBook) -> str:
    when = when_text(item, book)
    close = ", though it is a close call" if _close_need(item.decision) else ""
    return f"Do it{f' – {when}' if when else ''}{close}"


def when_text(item: Item, book: RuleBook) -> str:
    """`by 15 Sep, before overseeding`, or the day that is settled on; empty for what goes on."""
    if planned := _planned(item):
        return planned
    if item.date is None or item.date.kind != "deadline":
        return ""
    before = f", before {book.operations[item.date.sake].title.lower()}" if item.date.sake else ""
    return f"by {_say(item.date.day, item.decision)}{before}"


def _planned(item: Item) -> str:
    if item.date is None or item.date.kind != "appointment":
        return ""
    return f"planned for {item.date.day:%A} {_say(item.date.day, item.decision)}"


def _wait(decision: Decision, told: tuple[Reason, ...], book: RuleBook) -> str:
    current = decision.outlook.current
    if decision.for_good:
        return _ruled_out(decision, told, book)
    if decision.forbidden_ahead:
        return f"Not this season: {uncapped(_ruled_out(decision, told, book))}"
    if current is None:
        return "Not yet"
    opens = about(current, decision.on)
    if decision.judgement.truths["need"] is None:
        by = measure_by(decision)
        when = "now" if by <= decision.on else f"before {_say(by, decision)}"
        return f"Not yet – about {opens}; measure {when}"
    return f"Not yet – about {opens}"


def _hold(decision: Decision, told: tuple[Reason, ...], book: RuleBook) -> str:
    if decision.conflicts:
        return f"Hold{_until(decision)} – {decision.conflicts[0].says}"
    stops = [r.says for r in told if r.gate == "ready" and r.holds is False]
    when = clears_text(decision.clears, decision.on) if decision.clears else ""
    reason = stops[0] if stops else "it is not ready"
    return f"In season, but wait: {reason}" + (f"; {when}" if when else "")


def _not_needed(decision: Decision, told: tuple[Reason, ...], book: RuleBook) -> str:
    reasons = [r.says for r in told if r.gate == "need" and r.holds is False]
    return "Not needed" + (f": {reasons[0]}" if reasons else "")


def _missed(decision: Decision, told: tuple[Reason, ...], book: RuleBook) -> str:
    following = later_text(decision.later[:1], decision, book)
    if decision.outlook.current is None:
        never = "No season for it here: it opens in hardly any year of the record"
        return never + (f"; instead: {following}" if following else "")
    return "Too late this season" + (f" – next: {following}" if following else "")


def _ruled_out(decision: Decision, told: tuple[Reason, ...], book: RuleBook) -> str:
    if decision.for_good:
        return f"Not here – {decision.conflicts[0].says}"
    cause = decision.conflicts[0].says if decision.conflicts else "something forbids it"
    return f"Ruled out{_until(decision)} – {cause}"


def _until(decision: Decision) -> str:
    ends = decision.ends
    return f" until {_say(ends.day, decision)}" if ends and ends.sure else ""


def _measure(decision: Decision, told: tuple[Reason, ...], book: RuleBook) -> str:
    if decision.outlook.state == "unknown" and decision.judgement.truths["need"] is not None:
        return "Measure first: the season cannot be told without a weather record"
    facts = [name for name in decision.outcomes if decision.values.get(name) is None]
    if not facts:
        return "Measure first"
    title = book.vocabulary[facts[0]].title
    return f"Measure first: {title}"


def later_text(later: tuple[Later, ...], decision: Decision, book: RuleBook) -> str:
    """`about 19 Apr (spring), at a cost: …`, for each of some openings."""
    said = []
    for item in later:
        other = item.operation != decision.operation.id
        name = f"{book.operations[item.operation].title.lower()}, " if other else ""
        now = item.opening.opens.p50 <= decision.on
        when = (
            f"open now, until about {_say(item.opening.closes.p50, decision)}"
            if now
            else f"about {about(item.opening, decision.on)}"
        )
        cost = f", at a cost: {item.says}" if item.says else ""
        said.append(f"{name}{when} ({item.opening.window.title}){cost}")
    return "; or ".join(said)


def clears_text(found: Clears, on: dt.date) -> str:
    """When what stands in the way goes away, as far as anybody can tell."""
    when = say_date(found.on, relative_to=on) if found.on is not None else ""
    if found.watch:
        far = found.on is not None and (found.on - on).days > A_FEW_DAYS
        return f"look again about {when}" if far else "look again in a few days"
    if when:
        return f"usually over by about {when}"
    if found.chance is not None:
        return f"over within two months in only {round(found.chance * 10)} years of 10"
    return ""


def measure_by(decision: Decision) -> dt.date:
    """The day by which to measure, so that a hire and seed can still be had in time."""
    current = decision.outlook.current
    assert current is not None
    lead = dt.timedelta(days=decision.operation.measure_lead)
    return max(current.opens.p50 - lead, decision.on)


def _close_need(decision: Decision) -> bool:
    return decision.verdict == "do" and bool(decision.close)


def _say(day: dt.date | None, decision: Decision) -> str:
    return say_date(day, relative_to=decision.on) if day else ""
