"""What must be finished once it is begun, as the steps of a job say it, checked for sense."""

from __future__ import annotations

from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.rulebook.effort import Step


def check_owed(
    operation: str, steps: tuple[Step, ...], document: Document, problems: Problems
) -> None:
    """A step owes later steps of its job only, each of them whole, and says why; and no step that
    can wait for another day owes the next."""
    for i, step in enumerate(steps):
        loc = ("steps", operation, i)
        place = document.place(loc)
        name = f"step '{step.id}'"
        if (step.whole or bool(step.owes)) != bool(step.said):
            what = f"{name} says why under 'said' if it is 'whole' or 'owes' a step, and only then"
            problems.add(place, what)
        later = {other.id: other for other in steps[i + 1 :]}
        for n, id in enumerate(step.owes):
            at = document.place((*loc, "owes", n))
            if id not in later:
                near = did_you_mean(id, later)
                problems.add(at, f"{name} owes '{id}', which is no later step of the job{near}")
            elif not later[id].whole:
                problems.add(at, f"{name} owes '{id}', which does not say 'whole: true'")
        if step.owes and step.can_wait:
            problems.add(place, f"{name} can wait for another day and yet owes a step; keep one")
