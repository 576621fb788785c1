"""What to see to beforehand: the right jobs name it, early enough for the plan it serves."""

from __future__ import annotations

import pytest

from advisor.rulebook.model import Lead, RuleBook

SEEDING = ("overseeding", "spring_seeding", "dormant_seeding")


def lead(book: RuleBook, operation: str, id: str) -> Lead:
    return next(x for x in book.operations[operation].leads if x.id == id)


@pytest.mark.parametrize("operation", [*SEEDING, "feeding"])
def test_a_soil_test_comes_four_to_six_weeks_ahead(operation: str, book: RuleBook) -> None:
    test = lead(book, operation, "soil_test")
    assert 28 <= test.before <= 42
    assert test.counts_to == "opens"


@pytest.mark.parametrize("operation", ["thatch_removal", "core_aeration"])
def test_a_machine_is_booked_three_to_four_weeks_ahead(operation: str, book: RuleBook) -> None:
    hire = lead(book, operation, "hire")
    assert 21 <= hire.before <= 28
    assert not hire.working_days


@pytest.mark.parametrize(
    "operation", ["thatch_removal", "core_aeration", "overseeding", "spring_seeding"]
)
def test_lines_are_marked_two_or_three_working_days_ahead(operation: str, book: RuleBook) -> None:
    # East Grand Forks, page on calling before digging: two to three business days.
    marked = lead(book, operation, "lines_marked")
    assert 2 <= marked.before <= 3
    assert marked.working_days
    assert marked.counts_to == "work"
    assert "hidden_lines" in book.operations[operation].safety


@pytest.mark.parametrize("operation", ["overseeding", "spring_seeding"])
def test_weeds_a_month_and_the_first_low_cut_two_weeks_ahead(
    operation: str, book: RuleBook
) -> None:
    # Lancaster County 279-97: a month between a broadleaf weed killer and seed.
    assert lead(book, operation, "weeds").before == 28
    first_cut = lead(book, operation, "first_low_cut")
    assert (first_cut.before, first_cut.counts_to) == (14, "work")


def test_only_marking_counts_working_days(book: RuleBook) -> None:
    working = {x.id for o in book.operations.values() for x in o.leads if x.working_days}
    assert working == {"lines_marked"}
