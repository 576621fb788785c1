"""What a view that is made of an advice says of its lawn and its day."""

from __future__ import annotations

import datetime as dt

from advisor.advice.book import Advice
from advisor.cases.case import Case


class OfAdvice:
    """Of a record with a field `advice`: whose it is, and of which day."""

    advice: Advice

    @property
    def case(self) -> Case:
        return self.advice.case

    @property
    def on(self) -> dt.date:
        return self.advice.on
