"""How long many containers take to judge: ``python -m tests.benchmarks.holding_times``.

Printed and not asserted: machines differ. The time for each container should stay about the same
from line to line, which is linear growth.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import datetime, timedelta
from time import perf_counter

from costing.holding.models import Container, Event, EventKind, HoldingSettings, Temperature
from costing.holding.rules import load_rules
from costing.holding.verdicts import judge

START = datetime(2031, 5, 10, 8)
KINDS = (
    *(EventKind.COOKED, EventKind.READING, EventKind.BACK, EventKind.PREP, EventKind.OUT),
    *(EventKind.READING, EventKind.BACK, EventKind.OUT, EventKind.READING, EventKind.SERVED),
)
"""Ten events of one container."""


def containers(count: int) -> tuple[Container, ...]:
    """Containers with ten events each; every tenth holds the one before it."""
    cold, warm = (Temperature(value=value, unit="C") for value in (4, 18))
    return tuple(
        Container(
            name=f"bowl {number}",
            holds=(f"bowl {number - 1}",) if number % 10 == 9 else ("egg",),
            events=tuple(
                Event(
                    kind=kind,
                    at=START + timedelta(minutes=10 * place + number % 7),
                    temperature=cold if kind is EventKind.BACK else warm,
                )
                for place, kind in enumerate(KINDS)
            ),
        )
        for number in range(count)
    )


def seconds(count: int, rules: Sequence[str]) -> float:
    """Time to judge so many containers by some rules. [s]"""
    logs = containers(count)
    settings = HoldingSettings(zone="Europe/Lisbon", rules=tuple(rules))
    begun = perf_counter()
    judge(logs, load_rules(), settings)
    return perf_counter() - begun


def main() -> None:
    """Print a line for each size and set of rules."""
    for rules in (("US-HOME-2H",), ("US-HOME-2H", "US-COOL", "US-DATE7")):
        for count in (1_000, 10_000, 100_000):
            taken = seconds(count, rules)
            each = 1e6 * taken / count
            sys.stdout.write(f"{', '.join(rules)}: {count} in {taken:.2f} s, {each:.0f} µs each\n")


if __name__ == "__main__":
    main()
