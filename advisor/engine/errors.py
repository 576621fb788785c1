"""What can go wrong around the engine. None of these is the keeper's fault but `EngineMissing`."""

from __future__ import annotations


class RuleSetError(ValueError):
    """Formulas, table or effects that do not fit together, or are too many for one rule set."""


class FactError(ValueError):
    """A fact's value that is not of the fact's kind."""


class EngineFault(RuntimeError):
    """The engine did something it must not. Its handle has been thrown away."""


class EngineMissing(RuntimeError):
    """The engine cannot be loaded. The message says what to install."""
