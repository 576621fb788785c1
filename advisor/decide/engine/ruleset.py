"""Builds the engine's rules: flat conjunctions of facts, each concluding one derived fact.

The bounds below keep clear of limits in the engine's C source, beyond which it fails late or
crashes instead of refusing the rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.decide.engine.encode import (
    FACTS_READ,
    GATES_CLOSED,
    Either,
    Every,
    Holds,
    Node,
    Test,
    Unknown,
    comparisons,
    equal_to_one,
    pattern,
)
from advisor.decide.engine.model import FactKind, RuleSetError

MAX_ANTECEDENTS = 15  # the engine joins 16 facts at most
MAX_WEIGHT = 48  # comparisons on one code; the engine's stack holds 64 that match at once
MAX_USES = 200  # rules on one pattern; a list of 255 has no terminator
MAX_CODES = 480  # patterns at the root; the engine fails from 512
MAX_RULES = 4000  # the engine refuses more than 4096

# One fact may stand for several antecedents; without this the engine wants different facts.
DISTINCT_OFF = ',"dist":0'


@dataclass
class _Shard:
    """One of the codes under which a fact is asserted, and how much of it is taken."""

    code: int
    keys: set[str] = field(default_factory=set)
    weight: int = 0
    uses: int = 0


class RuleSet:
    """Rules under construction. Methods raise `RuleSetError` for what the engine cannot take."""

    def __init__(self, kinds: Mapping[str, FactKind]) -> None:
        self._kinds = kinds
        self._codes = 2
        self._shards: dict[str, list[_Shard]] = {}
        self._uses: dict[str, int] = {}
        self.signals: dict[str, int] = {}
        self.unknown: dict[str, int] = {}
        self.read: set[int] = set()
        self.concludes: dict[str, tuple[int, int]] = {}
        self._rules = [
            f'"end{code}":{{"all":[{{"m":{pattern(code)}}}],"pri":9}}'
            for code in (FACTS_READ, GATES_CLOSED)
        ]

    def conclude(self, node: Node, signal: str, value: int) -> None:
        """Let the derived signal take `value` when `node` holds: one rule for each alternative."""
        code = self.code(signal)
        for branch in node.parts if isinstance(node, Either) else (node,):
            self._add_rule(self._antecedents(branch), code, value)

    def code(self, signal: str) -> int:
        """The code of a derived signal."""
        if signal not in self.signals:
            self.signals[signal] = self._new_code()
        return self.signals[signal]

    def fact_codes(self) -> dict[str, tuple[int, ...]]:
        """Each fact's codes; a known value is asserted under every one of them."""
        return {fact: tuple(s.code for s in shards) for fact, shards in self._shards.items()}

    def text(self) -> str:
        """All rules as the engine's JSON."""
        return "{" + ",".join(self._rules) + "}"

    def _antecedents(self, node: Node) -> list[str]:
        tests: dict[str, list[Test]] = {}
        found: list[str] = []
        for part in node.parts if isinstance(node, Every) else (node,):
            if isinstance(part, Test):
                tests.setdefault(part.fact, []).append(part)
            elif isinstance(part, Unknown):
                found.append(self._unknown(part.fact))
            elif isinstance(part, Holds):
                found.append(self._holds(self.code(part.signal), part.values))
            else:
                # The engine reads a group after an `any` sibling as one more alternative, so an
                # alternative inside a conjunction becomes a derived fact of its own.
                found.append(self._derived(part))
        found += [self._tested(fact, parts) for fact, parts in tests.items()]
        while len(found) > MAX_ANTECEDENTS:
            code = self._new_code()
            self._add_rule(found[:MAX_ANTECEDENTS], code, 1)
            found = [*found[MAX_ANTECEDENTS:], self._holds(code, (1,))]
        return found or [pattern(FACTS_READ)]

    def _derived(self, node: Node) -> str:
        signal = f"part {self._codes}"
        self.conclude(node, signal, 1)
        return self._holds(self.code(signal), (1,))

    def _holds(self, code: int, values: tuple[int, ...]) -> str:
        self.read.add(code)
        text = pattern(code, [equal_to_one([str(value) for value in values])])
        self._uses[text] = self._uses.get(text, 0) + 1
        if self._uses[text] > MAX_USES:
            raise RuleSetError(f"more than {MAX_USES} rules read one state of one formula")
        return text

    def _unknown(self, fact: str) -> str:
        self._kind(fact)
        if fact not in self.unknown:
            self.unknown[fact] = self._new_code()
        return self._holds(self.unknown[fact], (1,))

    def _tested(self, fact: str, tests: list[Test]) -> str:
        kind = self._kind(fact)
        texts = list(dict.fromkeys(t for test in tests for t in comparisons(test, kind)))
        return pattern(self._shard(fact, texts), texts)

    def _shard(self, fact: str, texts: list[str]) -> int:
        key = "".join(texts)
        weight = sum(text.count('"v"') + text.startswith('{"$or"') for text in texts)
        if weight > MAX_WEIGHT:
            raise RuleSetError(f"fact '{fact}': more than {MAX_WEIGHT} limits in one conjunction")
        shards = self._shards.setdefault(fact, [])
        for shard in shards:
            room = key in shard.keys or shard.weight + weight <= MAX_WEIGHT
            if room and shard.uses < MAX_USES:
                break
        else:
            shard = _Shard(self._new_code())
            shards.append(shard)
        shard.weight += 0 if key in shard.keys else weight
        shard.keys.add(key)
        shard.uses += 1
        return shard.code

    def _kind(self, fact: str) -> FactKind:
        if fact not in self._kinds:
            raise RuleSetError(f"fact '{fact}' has no kind")
        return self._kinds[fact]

    def _new_code(self) -> int:
        if self._codes >= MAX_CODES:
            raise RuleSetError(f"more than {MAX_CODES} signals in one rule set; split it")
        self._codes += 1
        return self._codes - 1

    def _add_rule(self, antecedents: list[str], code: int, value: int) -> None:
        if len(self._rules) >= MAX_RULES:
            raise RuleSetError(f"more than {MAX_RULES} rules in one rule set; split it")
        name = f"r{len(self.concludes)}"
        matches = ",".join(f'{{"m{i}":{text}}}' for i, text in enumerate(antecedents))
        self._rules.append(f'"{name}":{{"all":[{matches}]{DISTINCT_OFF}}}')
        self.concludes[name] = (code, value)
