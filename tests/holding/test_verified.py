"""How far figures are verified, and the list of the rules beside the rules themselves."""

from __future__ import annotations

import subprocess
import sys

from costing.holding.rules import load_rules
from costing.holding.verified import Verified, rules_listed, weakest


def test_weakest__is_the_least_sure() -> None:
    """Law: the last of the list; what nobody says anything of is from memory."""
    assert weakest(list(Verified)) is Verified.MEMORY
    assert weakest([Verified.SOURCE_TEXT]) is Verified.SOURCE_TEXT
    assert weakest([]) is Verified.MEMORY


def test_rules_listed__says_what_the_rules_say() -> None:
    """Law: the list is read from the table, and each line is what the rule itself says."""
    assert rules_listed() == [
        f"{rule.id:12} {rule.jurisdiction}: {rule.instrument}, {rule.clause} "
        f"({rule.verified.words})"
        for rule in load_rules().values()
    ]


def test_the_list_of_rules__imports_no_models() -> None:
    """Law: to print it takes neither the models nor anything that computes."""
    code = (
        "import sys\nfrom costing.cli import main\n"
        "try:\n    main(['rules'])\nexcept SystemExit:\n    pass\n"
        "sys.stderr.write(' '.join({'pydantic', 'openpyxl', 'pandas', 'scipy'} & set(sys.modules)))"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert (done.stderr, done.returncode) == ("", 0)
    assert done.stdout.splitlines()[:-1] == rules_listed()
