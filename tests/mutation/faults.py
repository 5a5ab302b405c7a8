"""Small faults that can be put into a module, one at a time, and those that change nothing."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TREE = Path(__file__).resolve().parent.parent.parent
COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
REACHED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
}
PROGRAMMERS = ("dataclass", "ConfigDict", "lru_cache", "TypeVar")
"""Calls whose arguments no test of a result can notice."""
LOOKS = ("width", "repr")
"""Arguments and fields that say how wide a column is drawn, and what a programmer is shown."""
WIDTH_OF = {"ResultColumn": 3}
"""At which place, counted from 0, a call has such an argument without a name."""
CHECKS = ("strict",)
"""Arguments that are true to have lengths compared that are always equal."""
ENDS_WELL = ("DONE",)
"""Exit codes that are 0, with which a process ends that is given none."""
EQUIVALENT = {
    ("recipe_text/method.py", "_leave_to_the_best", "number < surest -> number <= surest"): (
        "a step has one rank, so that one of a lower rank is never the surest"
    ),
    (
        "closing/differences.py",
        "_values",
        "as_planned is None or at_takes is None or listed is None -> "
        "as_planned is None or at_takes is None",
    ): (
        "the price of what was listed is unknown only where a pack listed has none, and then what "
        "is bought by the plan is worth nothing known either"
    ),
    **dict.fromkeys(
        [("shoot/containers.py", within, "True -> False") for within in ("_named", "_of_part")],
        "what nobody knows has no class, so that its clock runs from the log, begun or not",
    ),
    ("day/server.py", "own_address", "9 -> 10"): (
        "the way to an address is the same for each of its ports, and nothing is sent to it"
    ),
    **dict.fromkeys(
        [("day/server.py", "serve", words) for words in ("4 -> 5", "16384 -> 16385", "30 -> 31")],
        "how many are answered at once, and how long one may speak, changes no answer",
    ),
    ("names.py", "SPELLINGS_AT_HAND", "65536 -> 65537"): ("what is worked out again is the same"),
    ("reference/pieces.py", "AGREEMENT", "5 -> 6"): (
        "no two published values of a food and a column lie between 5 and 6 % apart"
    ),
    (
        "reference/filling.py",
        "kept_as",
        "min(from_rows('State', rows), key=lambda one: one.number, default=None) -> "
        "max(from_rows('State', rows), key=lambda one: one.number, default=None)",
    ): "no food has two lives from its purchase in one place",
    ("reference/foods.py", "_shares_by_synonym_alone", "known <= words -> known < words"): (
        "a name of the very same words has 0.97 by its letters, and by its words at most 0.95"
    ),
    **dict.fromkeys(
        [
            (f"workbook/package/{module}.py", "CHUNK", words)
            for module, words in (
                *(("members", "256 -> 257"), ("members", "1024 -> 1025")),
                *(("sheetdata", "64 -> 65"), ("sheetdata", "1024 -> 1025")),
            )
        ],
        "what is read piece by piece is the same in pieces of any size",
    ),
    ("workbook/package/members.py", "LEVEL", "6 -> 7"): (
        "what is packed unpacks to the same at every level"
    ),
    **dict.fromkeys(
        [
            ("workbook/package/commit.py", "WAIT", "5.0 -> 6.0"),
            *(
                ("workbook/package/locking.py", *fault)
                for fault in (
                    ("PAUSE", "0.01 -> 1.01"),
                    ("locked", "time.sleep(PAUSE) -> pass"),
                    ("locked", "time.monotonic() > until -> time.monotonic() >= until"),
                )
            ),
        ],
        "how long another run is waited for, and how often it is looked at, changes no result",
    ),
    (
        "workbook/package/extents.py",
        "start",
        "len(ends) > SETTLE -> len(ends) >= SETTLE",
    ): "how often the counts are settled changes only how long a list grows",
    (
        "workbook/package/extents.py",
        "start",
        "if len(ends) > SETTLE: started -= len(ends) ends.clear() -> "
        "if not len(ends) > SETTLE: started -= len(ends) ends.clear()",
    ): "the same",
    ("workbook/package/extents.py", "SETTLE", "100000 -> 100001"): "the same",
    (
        "workbook/owned/marks.py",
        "own_sheets",
        "tab.sheet_id < other.tab.sheet_id -> tab.sheet_id <= other.tab.sheet_id",
    ): "no two tabs of a workbook have one number, by the format",
    **dict.fromkeys(
        [
            (
                "workbook/owned/stale.py",
                "touches",
                "len(rows) * len(columns) < len(cells) -> len(rows) * len(columns) <= len(cells)",
            ),
            (
                "workbook/owned/stale.py",
                "touches",
                "len(rows) * len(columns) -> len(rows) / len(columns)",
            ),
            (
                "workbook/owned/stale.py",
                "touches",
                "if len(rows) * len(columns) < len(cells): found = any((at in cells for at in "
                "product(rows, column... -> "
                "if not len(rows) * len(columns) < len(cells): found = any((at in cells for at in "
                "product(rows, co...",
            ),
        ],
        "both ways find the same cells; which is taken changes only how long it takes",
    ),
    (
        "workbook/template/adding.py",
        "_put_rows",
        "last > table.corners[2] -> last >= table.corners[2]",
    ): "a table that ends there is stretched to where it is",
    ("workbook/template/cells.py", "NO_GRIDLINES", "2 -> 3"): (
        "the library takes all above 1 for both"
    ),
    (
        "workbook/template/sheets.py",
        "_write_table",
        "height > ROW_HEIGHT -> height >= ROW_HEIGHT",
    ): "a row of one line gets the height that all rows have",
    (
        "workbook/results/panels.py",
        "_nearness",
        "1 -> 2",
    ): "a limit below a second leaves no time out: nothing over 2 seconds is nothing as well",
    (
        "workbook/results/live/writer.py",
        "_product_text",
        "power > 0 -> power >= 0",
    ): "a factor whose power has come to 0 is taken out of its product",
    ("buying/ways.py", "ways_to_buy", "supply < need -> supply <= need"): (
        "where nothing lacks what is fetched elsewhere is nothing, at no cost"
    ),
    (
        "buying/picking.py",
        "__eq__",
        "self.picking is other.picking and self.episode == other.episode -> "
        "self.picking is other.picking and self.picking is other.picking",
    ): "they are keys of a dict, which asks for equality only where the hash is the same",
    **dict.fromkeys(
        [
            ("buying/planning.py", "TIME_LIMIT", "30.0 -> 31.0"),
            *(
                ("buying/choosing.py", "PART_FOR_DAYS", words)
                for words in ("1 / 3 -> 1 * 3", "1 -> 2", "3 -> 4")
            ),
        ],
        "how long a search may take changes nothing of what it proves in time",
    ),
    (
        "buying/blanks.py",
        "trial",
        "for line in purchase.lines if line.paid.cost is not None -> for line in purchase.lines",
    ): "where the cost of a line is not known its price is not, and then there is no sum",
    ("buying/chances.py", "_lacking_the_most", "change > 0 -> change >= 0"): (
        "no more than before is nothing in the sum"
    ),
    ("buying/alternatives.py", "cheapest", "more > 0 -> more >= 0"): (
        "where it is nothing something else is said"
    ),
    ("buying/pack_columns.py", "_limit", "len(its) > 1 -> len(its) >= 1"): (
        "a column alone is held by its own bound"
    ),
    ("buying/minimum_spend.py", "at_price", "coins += int(counted[at]) -> pass"): (
        "at every price of a coin the bound is true; the best price only spares ways to look at"
    ),
    **dict.fromkeys(
        [
            ("buying/supplies.py", "_count_unread", words)
            for words in (
                "one.row.number or 0 -> one.row.number or one.row.number",
                "one.place.row or 0 -> one.place.row or one.place.row",
                "0 -> 1",
            )
        ],
        "what is read from a workbook has its row, and row 1 has the headings",
    ),
    ("buying/lives.py", "ways", "serves < of_trip[-1].serves -> serves <= of_trip[-1].serves"): (
        "the day a pack is opened on is served by none of a trip that is opened later"
    ),
    ("buying/out_of_plan.py", "out_of_plan", "day <= last -> day < last"): (
        "what can be fetched on the last day that is in time is on no trip of its own"
    ),
    ("buying/purchases.py", "text", "number >= 1 -> number > 1"): "1 has too few digits to be cut",
    **dict.fromkeys(
        [
            ("buying/takeovers.py", "_in_order", "source < shot -> source <= shot"),
            ("buying/takeovers.py", "_in_order", "one < other -> one <= other"),
            ("buying/takeovers.py", "_acyclic", "one < other -> one <= other"),
        ],
        "no shot continues in itself, and equal starts are told apart before",
    ),
    ("buying/fitting.py", "chance", "len(undecided) > MOST_SUMS -> len(undecided) >= MOST_SUMS"): (
        "of just so many all are kept"
    ),
    (
        "buying/mixing.py",
        "lots_saved",
        "len(users) < 2 or not bought -> len(users) < 2 or len(users) < 2",
    ): "where nothing is bought nothing can be spared",
    ("buying/articles.py", "log_of", "chance > HALF -> chance >= HALF"): (
        "of a half both have the same logarithm"
    ),
    ("buying/solver.py", "LARGEST_FACTOR", "1000 -> 1001"): (
        "a scale for floats; what the solver proposes is checked exactly"
    ),
    ("buying/runs.py", "MOST_PARTS", "10000 -> 10001"): (
        "both stand for the same float to a part in a hundred million"
    ),
    (
        "quantities/money.py",
        "round_money",
        "value >= 0 -> value > 0",
    ): "none of a coin is as much below nothing as above",
    (
        "quantities/amounts.py",
        "magnitude_text",
        "size * 10 ** places < 1000 -> size * 10 ** places <= 1000",
    ): "just 1000 of a place are a power of ten, which has no more digits with a place more",
}
"""Faults that change nothing, and why: by module within costing/, what they are in, and words.

What they are in is a function or the constant that is assigned. A test finds each in its place.
"""
CALLED = {"min": "max", "max": "min", "any": "all", "all": "any", "least": "most", "most": "least"}


@dataclass(frozen=True)
class Fault:
    """One small fault.

    Parameters
    ----------
    module : Path
        In which module, from the top of the tree.
    line : int
        In which line.
    within : str
        The function it is in, or the constant that is assigned.
    words : str
        What stands there and what stands there now.
    source : str
        The whole module with the fault.
    """

    module: Path
    line: int
    within: str
    words: str
    source: str


def text_of(node: ast.AST) -> str:
    """What a part of a module says, in one line, the end of a long one left out."""
    text = " ".join(ast.unparse(node).split())
    return text if len(text) <= 100 else f"{text[:97]}..."


def places(source: str) -> list[tuple[int, int]]:
    """Where a fault can be put: the number of the node, and which of its faults."""
    found = []
    tree = ast.parse(source)
    left_out = {id(inner) for node in ast.walk(tree) for inner in _never_run(node)}
    for number, node in enumerate(ast.walk(tree)):
        if id(node) in left_out or _line_of(node) is None:
            continue
        found += [(number, kind) for kind in range(2) if _change(copy.deepcopy(node), kind)]
    return found


def _never_run(node: ast.AST) -> Iterator[ast.AST]:
    """Parts that no run depends on: annotations, what only type checkers read, messages' grades."""
    for said in ("annotation", "returns"):
        if (annotation := getattr(node, said, None)) is not None:
            yield from ast.walk(annotation)
    if (
        (isinstance(node, ast.keyword) and node.arg in LOOKS)
        or (isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test))
        or (isinstance(node, ast.AnnAssign) and ast.unparse(node.target) in LOOKS)
        or (isinstance(node, ast.keyword) and node.arg in CHECKS and _is_true(node.value))
    ):
        yield from ast.walk(node)
    elif isinstance(node, (ast.Raise, ast.Assert)):  # what it says is for programmers
        yield from (n for n in ast.walk(node) if n is not node)
    elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(PROGRAMMERS):
        yield from ast.walk(node)
    elif isinstance(node, ast.Call) and _named(node.func) in WIDTH_OF:
        at = WIDTH_OF[_named(node.func)]
        yield from (inner for width in node.args[at : at + 1] for inner in ast.walk(width))


def fault_at(source: str, module: Path, place: tuple[int, int]) -> Fault:
    """The fault of one place."""
    tree = ast.parse(source)
    node = next(n for at, n in enumerate(ast.walk(tree)) if at == place[0])
    line, before = _line_of(node) or 0, text_of(node)
    within = _within(tree, line)
    _change(node, place[1])
    return Fault(module, line, within, f"{before} -> {text_of(node)}", ast.unparse(tree))


def _line_of(node: ast.AST) -> int | None:
    """In which line a part of a module stands: what is drawn in a comprehension has no own."""
    return getattr(node.target if isinstance(node, ast.comprehension) else node, "lineno", None)


def _within(tree: ast.Module, line: int) -> str:
    """The innermost function around a line, or else the constant that it assigns."""
    found = ""
    for node in ast.walk(tree):
        end = getattr(node, "end_lineno", None)
        if end is None or not getattr(node, "lineno", end) <= line <= end:
            continue
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            found = node.name
        elif isinstance(node, ast.Assign) and not found:
            found = ast.unparse(node.targets[0])
    return found


def changes_nothing(fault: Fault) -> bool:
    """Whether a fault is one of those that change nothing."""
    inside = fault.module.relative_to("costing").as_posix()
    return (inside, fault.within, fault.words) in EQUIVALENT


def _change(node: ast.AST, kind: int) -> bool:
    """Put a fault into a node; ``False`` when there is none of that kind."""
    if isinstance(node, ast.Compare) and kind == 0 and type(node.ops[0]) in COMPARED:
        node.ops[0] = COMPARED[type(node.ops[0])]()
    elif isinstance(node, ast.BoolOp) and kind == 0:
        node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    elif isinstance(node, ast.BoolOp):
        node.values = node.values[:-1] if len(node.values) > 2 else [node.values[0]] * 2
    elif isinstance(node, ast.BinOp) and kind == 0 and type(node.op) in REACHED:
        if isinstance(node.left, (ast.Constant, ast.JoinedStr)) and not _number(node.left):
            return False  # words put together
        node.op = REACHED[type(node.op)]()
    elif isinstance(node, ast.Constant) and kind == 0 and isinstance(node.value, bool):
        node.value = not node.value
    elif isinstance(node, ast.Constant) and kind == 0 and _number(node):
        node.value += 1  # type: ignore[operator]
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not) and kind == 0:
        node.operand = ast.UnaryOp(ast.Not(), node.operand)
    elif isinstance(node, (ast.If, ast.IfExp, ast.While)) and kind == 0:
        node.test = ast.UnaryOp(ast.Not(), node.test)
    elif isinstance(node, ast.Call) and kind == 0 and _named(node.func) in CALLED:
        node.func = ast.Name(CALLED[_named(node.func)], ast.Load())
    elif isinstance(node, (ast.Expr, ast.AugAssign)) and kind == 0 and _acts(node):
        node.__class__ = ast.Pass  # type: ignore[assignment]
    elif isinstance(node, ast.Return) and kind == 0 and node.value is not None:
        said = node.value.value if isinstance(node.value, ast.Constant) else node
        if said is None or said is False or text_of(node.value) in ENDS_WELL:
            return False  # neither is the case
        node.value = ast.Constant(None)
    elif isinstance(node, ast.comprehension) and kind == 0 and node.ifs:
        node.ifs = node.ifs[:-1]
    else:
        return False
    ast.fix_missing_locations(node)
    return True


def _number(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


def _is_true(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is True


def _named(node: ast.AST) -> str:
    return node.id if isinstance(node, ast.Name) else ""


def _acts(node: ast.Expr | ast.AugAssign) -> bool:
    """Whether a statement does something: an addition, or a call that is no docstring."""
    return isinstance(node, ast.AugAssign) or isinstance(
        node.value, (ast.Call, ast.YieldFrom, ast.Yield)
    )
