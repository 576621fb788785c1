"""The answer about a whole programme: as text, and for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.advice.gates import gate_json
from advisor.amounts.amount import say_time
from advisor.answers.law import law_line
from advisor.answers.sources import weather_line
from advisor.answers.to_json import head_json
from advisor.answers.words import sentence
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.planning.plan_words import gate_lines
from advisor.planning.programme_report import ProgrammeReport, open_jobs
from advisor.planning.programme_step import Standing, standing_json
from advisor.planning.programme_words import standing_text, step_text
from advisor.planning.shut_days import shut_says
from advisor.planning.weekends import GOOD_CHANCE
from advisor.render.digest.render import render
from advisor.render.sheets.weekends_text import choice_lines


class Told(Record, frozen=True):
    """What is told of one standing. says: how it stands. mind: the cautions of what is still to be
    done, in short. nothing: what comes of doing nothing."""

    title: str
    says: str
    steps: tuple[str, ...]
    mind: str
    nothing: str


def programme_text(report: ProgrammeReport) -> str:
    """What was asked first, then how it stands, and its steps one by one."""
    return render(
        "programme.txt",
        first=_first(report),
        gate_lines=gate_lines(report.gates, report.case),
        told=[_told(standing, report) for standing in report.standings],
        weather=weather_line(report.case),
        law=law_line(report.case),
        on=report.on,
    )


def programme_json(report: ProgrammeReport) -> dict[str, Any]:
    """Dates are ISO; minutes are one person's work in what is still to be done."""
    return {
        **head_json(report.advice),
        "gates": [gate_json(gate) for gate in report.gates],
        "programmes": [
            {**standing_json(each), "minutes": round(_minutes(each, report))}
            for each in report.standings
        ],
        "asked_days": report.choice and report.choice.run.first.isoformat(),
        "sources": {},
    }


def _first(report: ProgrammeReport) -> str:
    """What was asked about free days or hours; empty where how it stands is the answer."""
    if report.intent == "what_if_not":
        return " ".join(dict.fromkeys(filter(None, map(_nothing, report.standings))))
    shut = ""
    if report.shut is not None:
        shut = sentence(shut_says(report.case, report.shut.first, report.shut.last))
    if report.weekends is not None and report.choice is not None:
        lines = choice_lines(report.choice, report.weekends)
        whole = uncapped(lines.whole) or f"not the whole. {lines.fits}"
        day = report.choice.run.first
        likely = report.choice.rehearsal and report.choice.rehearsal.through >= GOOD_CHANCE
        hours = report.case.command("workplan", option=f"--from={day}") if likely else ""
        plan = f" '{hours}' puts it into hours." if hours else ""
        return f"{shut} {lines.heading}: {whole}{plan}".strip()
    if shut:
        return shut
    if report.intent == "how_long":
        return sentence("; ".join(filter(None, (_left(s, report) for s in report.standings))))
    return ""


def _left(standing: Standing, report: ProgrammeReport) -> str:
    minutes = _minutes(standing, report)
    if not minutes:
        return ""
    where = f" in the {standing.part.label}" if standing.part.label else ""
    return f"about {say_time(minutes)} of work for one person{where}, without the care after it"


def _minutes(standing: Standing, report: ProgrammeReport) -> float:
    return sum(report.advice.minutes(step.item) for step in open_jobs(standing))


def _told(standing: Standing, report: ProgrammeReport) -> Told:
    where = f", {standing.part.label}" if standing.part.label else ""
    cautions = report.case.book.cautions
    jobs = open_jobs(standing)
    minded = dict.fromkeys(id for step in jobs for id in step.item.operation.safety)
    return Told(
        title=f"{standing.programme.title}{where}",
        says=sentence(standing_text(standing, report.advice)),
        steps=tuple(_steps(standing, report)),
        mind=" ".join(cautions[id].short for id in minded),
        nothing=_nothing(standing),
    )


def _nothing(standing: Standing) -> str:
    hearts = [step for step in open_jobs(standing) if step.heart]
    return sentence(hearts[0].item.operation.do_nothing) if hearts else ""


def _steps(standing: Standing, report: ProgrammeReport) -> Iterator[str]:
    work = {step.job for step in open_jobs(standing)}
    for step in standing.counted:
        said = sentence(step_text(step, report.advice))
        minutes = report.advice.minutes(step.item) if step.job in work else 0.0
        yield f"{said} {sentence(say_time(minutes))}" if minutes else said
