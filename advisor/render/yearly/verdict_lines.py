"""This week's verdicts for the year page: each in one line, its reasons folded away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from advisor.answers.answer import Answer
from advisor.answers.words import listed, sentence
from advisor.base.record import Record
from advisor.render.digest.week import Week


class Verdict(Record, frozen=True):
    """title with its areas; says: the headline. cautions: short, shown beside it, not folded.
    why: the reasons, the season and the advice, one sentence each."""

    title: str
    says: str
    why: tuple[str, ...]
    cautions: tuple[str, ...]


class Group(Record, frozen=True):
    """Verdicts under one heading. cautions: short, of two verdicts or more, said once for all."""

    heading: str
    verdicts: tuple[Verdict, ...]
    cautions: tuple[str, ...] = ()


def verdict_groups(week: Week) -> tuple[Group, ...]:
    """All verdicts of the week, the urgent first; empty groups are left out.

    Of a matter that nobody has raised only a verdict to act on is told.
    """

    def raised(*answers: Answer) -> tuple[Verdict, ...]:
        return tuple(_verdicts(a for a in answers if a.item.raised))

    groups = (
        _group("To do", week.do),
        _group("In season, but held", week.hold),
        Group("Measure first", raised(*week.measure)),
        Group("Coming", raised(*week.coming, *week.wait)),
        Group("Not needed, or over", raised(*week.leave, *week.missed)),
    )
    return tuple(group for group in groups if group.verdicts)


def _group(heading: str, answers: tuple[Answer, ...]) -> Group:
    """Work with its cautions: its own beside it, at least one, and the shared ones after all."""
    counts = Counter(caution.short for answer in answers for _, caution in answer.safety)
    shared = tuple(short for short, count in counts.items() if count > 1)
    return Group(heading, tuple(_verdicts(answers, shared, cautioned=True)), shared)


def _verdicts(
    answers: Iterable[Answer], shared: tuple[str, ...] = (), *, cautioned: bool = False
) -> Iterator[Verdict]:
    """Areas with the same verdict for the same reasons are named together."""
    areas: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    cautions: dict[str, tuple[str, ...]] = {}
    for answer in answers:
        areas.setdefault((answer.title, answer.headline, _why(answer)), []).append(answer.area)
        shorts = tuple(caution.short for _, caution in answer.safety)
        own = tuple(short for short in shorts if short not in shared) or shorts[:1]
        cautions[answer.title] = own if cautioned else ()
    for (title, headline, why), names in areas.items():
        where = listed(tuple(name for name in names if name))
        name = f"{title} ({where})" if where else title
        yield Verdict(name, sentence(headline), why, cautions[title])


def _why(answer: Answer) -> tuple[str, ...]:
    said = [reason.says for reason in answer.told]
    said += [answer.season, *answer.advice]
    for measurement in answer.measure[:1]:
        said += [f"{measurement.title}: {measurement.how}", *measurement.results]
    said.append(answer.later and f"next: {answer.later}")
    found = tuple(dict.fromkeys(sentence(text) for text in said if text))
    return found or ("No more is known.",)
