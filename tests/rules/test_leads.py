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


def test_lines_are_marked_two_or_three_working_days_ahead(book: RuleBook) -> None:
    # East Grand Forks, page on calling before digging: two to three business days.
    marked = book.gates["public_lines"]
    assert 2 <= marked.before <= 3
    assert marked.working_days
    # Towns of Ontario and a power utility there: five business days.
    assert marked.days_ahead("CA", "ON") == 5
    assert marked.days_ahead("CA", "QC") == marked.days_ahead(None, None) == marked.before


def test_what_breaks_the_soil_names_the_danger_and_nothing_else_waits(book: RuleBook) -> None:
    """Raking, spreading, mowing and blades that scratch do not wait for the marking service."""
    breaking = {id for id, o in book.operations.items() if o.breaks_soil}
    named = {id for id, o in book.operations.items() if "hidden_lines" in o.safety}
    assert breaking == named == {"core_aeration", "new_seeding", "patch_repair"}
    scratching = {id for id, o in book.operations.items() if "shallow_lines" in o.safety}
    assert scratching == {"thatch_removal", "overseeding", "spring_seeding"}


@pytest.mark.parametrize("operation", ["overseeding", "spring_seeding"])
def test_weeds_a_month_and_the_first_low_cut_two_weeks_ahead(
    operation: str, book: RuleBook
) -> None:
    # Lancaster County 279-97: a month between a broadleaf weed killer and seed.
    assert lead(book, operation, "weeds").before == 28
    first_cut = lead(book, operation, "first_low_cut")
    assert (first_cut.before, first_cut.counts_to) == (14, "work")
