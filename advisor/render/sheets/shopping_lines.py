"""What to get, one line each: the same on the shopping list and in the work plan."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.amounts.amount import money
from advisor.amounts.compose import Amounts
from advisor.amounts.shop import Buy
from advisor.answers.words import listed, sentence
from advisor.base.text import uncapped

_SPREAD = ("seed", "fertiliser", "nitrogen", "lime", "topdressing")


def buy_line(buy: Buy) -> str:
    """`Kentucky bluegrass seed: 2 bags of 5 lb, 68 (overseeding, front).`"""
    return sentence(f"{buy.says} ({'; '.join(buy.jobs)})")


def plan_lines(amounts: Amounts) -> Iterator[str]:
    """Short lines for a plan: what to buy, how much of it goes where, bags for what comes off.

    What to look for on a label that nobody has read yet stands on the shopping list only.
    """
    for buy in amounts.buys:
        yield buy_line(buy)
        if buy.bags is not None:
            yield from (sentence(note) for note in buy.warnings)
    debris = []
    for job in amounts.jobs:
        where = f"{job.operation.title}, {job.ground.name}"
        spread = [line.says for line in job.amounts if line.name in _SPREAD]
        yield from (sentence(f"{where}: spread {says}") for says in spread)
        debris += [
            f"{line.says.removesuffix(' of debris')} ({uncapped(where)})"
            for line in job.amounts
            if line.name == "debris"
        ]
        yield from (sentence(f"{where}: {warning}") for warning in job.warnings)
    if debris:
        yield sentence(f"For debris: {', '.join(debris)}")


def total_line(amounts: Amounts, code: str) -> str:
    """What it costs, as far as prices are known. code: of the money."""
    sure, all_of_it = amounts.cost(sure=True), amounts.cost(sure=False)
    if not all_of_it:
        return "No prices are in site.yaml, so no total."
    text = f"Bags and hire: {money(sure, code)}"
    if all_of_it > sure:
        text += f", with what is only perhaps needed {money(all_of_it, code)}"
    if amounts.unpriced:
        text += f"; without a price: {listed(amounts.unpriced)}"
    return sentence(text)
