"""What a shoot comes to: its result tables, as frames, as JSON, and as people see them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from costing.buying.alternatives import Effect, unchosen_words
from costing.buying.books import Books
from costing.buying.published import Fill
from costing.buying.published_rows import PackFill
from costing.buying.takeovers import Continuation
from costing.buying.takes_left import Outlook
from costing.buying.values import Totals
from costing.closing.charge import Charge
from costing.closing.closed import Closed
from costing.findings import Finding, Grade
from costing.holding.statuses import Verdict
from costing.kitchen import Line
from costing.listing import counted
from costing.names import key
from costing.prep.bowls import Bowls, Covered, bowls_of
from costing.prep.stages import copies_of, stages_of
from costing.prep.volumes import HEADING as DENSITY
from costing.report import exchange
from costing.report.assumption_rows import assumptions, findings_table
from costing.report.closing_rows import charge_table, closed_json, closing_figures, differences
from costing.report.day_rows import holding_times, takes_left, who_eats
from costing.report.errands import Errand, errands_of, errands_table
from costing.report.finding_topics import of_buying, of_closing, of_food, of_holding
from costing.report.label_rows import label_lines, labels_table, made_lines
from costing.report.layouts import RESULT_LAYOUTS
from costing.report.make_rows import Cooked, cooked, make, make_words, used_ahead
from costing.report.prep_rows import copies, prep, swaps
from costing.report.shop_notes import kept_words
from costing.report.shop_words import at_least
from costing.report.shopping_list import ListDay, ListLine, list_days, list_lines, with_only_day
from costing.report.shopping_rows import food_cost, needs, to_buy
from costing.report.summary_rows import summary
from costing.report.tables import Layout, Table
from costing.shoot import Shoot
from costing.shoot.containers import Contents
from costing.shoot.copies import Forest
from costing.shoot.eating import WhoEats
from costing.shoot.planning import Planned
from costing.workbook.package.opc import without_collection

if TYPE_CHECKING:
    import pandas as pd

    from costing.report.calendar import CalendarFile


@dataclass(frozen=True)
class Estimate:
    """What a shoot needs, buys, uses and leaves, and how long its containers have stood.

    Parameters
    ----------
    eating : WhoEats
        Who may eat what, by what the lists say.
    findings : tuple of Finding
        What was found in reading the workbook and in working it out, in the order of the sheets.
    cautions : tuple of str
        To be shown with anything about holding.
    zone : str
        IANA name of the time zone used.
    effects : mapping of Fill to Effect
        What the ranges of those could change in the bought value.
    planned : tuple of Planned
        When containers may come out for the shots in which their food is eaten.
    ahead : tuple of tuple of Verdict
        On containers that come out later than the instant asked about, at each of these times.
    written : tuple of Line
        The lines as the recipes have them, before published values turned cups into grams;
        ``()`` when they are those of the shoot.
    continuing : tuple of Continuation
        Copies that could continue in a later shot and don't.
    closed : Closed, optional
        What happened, beside the plan; ``None`` while the shoot is not closed.
    thawing : tuple of PackFill
        Days to thaw that were taken from tables.

    Examples
    --------
    >>> import costing
    >>> shoot = costing.Shoot(
    ...     lines=[costing.Line(dish="toast", ingredient="bread", amount="2 each")],
    ...     packs=[costing.Pack(ingredient="bread", amount="12 each", price="1.80")],
    ... )
    >>> costing.estimate(shoot)
    <Estimate: bought 1.80, used 0.60, left 1.20; ...>
    """

    books: Books
    eating: WhoEats
    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    zone: str
    fills: tuple[Fill, ...] = ()
    effects: Mapping[Fill, Effect] = field(default_factory=dict)
    planned: tuple[Planned, ...] = ()
    ahead: tuple[tuple[Verdict, ...], ...] = ()
    written: tuple[Line, ...] = ()
    continuing: tuple[Continuation, ...] = ()
    closed: Closed | None = None
    thawing: tuple[PackFill, ...] = ()

    @property
    def shoot(self) -> Shoot:
        """The shoot, with its episodes and shots filled in."""
        return self.books.shoot

    @property
    def totals(self) -> Totals:
        """The whole shoot's money; the books balance to the smallest coin."""
        return self.books.totals

    def __repr__(self) -> str:
        """The main figures and what was found, in a line."""
        settings, totals = self.shoot.settings, self.totals
        money = ", ".join(
            f"{name} {at_least(value, missing, settings.currency)}"
            for name, value, missing in (
                ("bought", totals.bought, totals.bought_missing),
                ("used", totals.used, totals.used_missing),
                ("left", totals.left, ()),
            )
        )
        title = f" {settings.title!r}" if settings.title else ""
        return f"<Estimate{title}: {money}; {counted(self.findings)}>"

    @property
    def _allergens_filled(self) -> frozenset[str]:
        """Keys of the ingredients whose allergens were taken from tables."""
        return frozenset(
            key(fill.ingredient.name) for fill in self.fills if fill.value.column == "Allergens"
        )

    def tables(self) -> dict[str, Table]:
        """The result tables by key, in the order of their sheets."""
        return dict(self._tables)

    @cached_property
    @without_collection()
    def _tables(self) -> dict[str, Table]:
        """Every result table by its key; one that is not made here has no row."""
        filled = self._allergens_filled
        made: tuple[Table, ...] = (
            summary(self.books, self.verdicts, self.findings, closing_figures(self.closed)),
            to_buy(self.books, filled, used_ahead(self._cooked)),
            errands_table(self.errand_list, self.shoot),
            make(self._cooked),
            needs(self.books),
            food_cost(self.books),
            holding_times(self.verdicts),
            labels_table(self.verdicts, self._labels, made_lines(self._cooked, self.shoot, filled)),
            prep(self._bowls, kept_words(self.books, self._cooked), self._cooked),
            swaps(stages_of(self.shoot, covered=self._covered, zone=ZoneInfo(self.zone))),
            self._copies,
            takes_left(self.outlook),
            who_eats(self.eating),
            self._assumptions,
            findings_table(self.findings),
        )
        if self.closed is not None:
            made += (differences(self.closed), charge_table(Charge(self.closed)))
        by_key = {table.layout.key: table for table in made}
        return {one.key: by_key.get(one.key, Table(one, ())) for one in RESULT_LAYOUTS}

    @cached_property
    def outlook(self) -> Outlook:
        """What is there, and how often each shot can still be taken."""
        return Outlook(self.books, self.closed.brought if self.closed else None)

    @property
    def _assumptions(self) -> Table:
        return assumptions(
            self.books,
            self.fills,
            self.effects,
            bowls=self._bowls,
            thawing=self.thawing,
            words=unchosen_words(self.shoot.changed(lines=self.written or self.shoot.lines)),
            zone=self.zone,
            zone_given=self.shoot.settings.time_zone is not None,
        )

    def frame(self, name: str) -> pd.DataFrame:
        """A result table for plots and statistics, beside the exact frame of the same name.

        ``name``: of the table, such as ``"food_cost"``.

        Returns
        -------
        pandas.DataFrame
            The same columns with floats, datetimes and timedeltas; what is unknown is NaN or NaT,
            and a column ``currency`` or ``unit`` says what money counts in.

        Examples
        --------
        >>> import costing
        >>> shoot = costing.Shoot(
        ...     lines=[costing.Line(dish="toast", ingredient="bread", amount="2 each")],
        ...     packs=[costing.Pack(ingredient="bread", amount="12 each", price="1.80")],
        ... )
        >>> float(costing.estimate(shoot).frame("to_buy")["left_over"].sum())
        8.0
        """
        from costing.report.exchange import plotting_frame

        if name not in self._tables:
            raise KeyError(f"there is no table {name!r}; there are {', '.join(self._tables)}")
        return plotting_frame(self._tables[name], currency=self.shoot.settings.currency)

    if TYPE_CHECKING:  # the exact frames by the names of their tables, made below the class

        def __getattr__(self, name: str) -> pd.DataFrame: ...

    def _repr_html_(self) -> str:
        """The main figures and the list, as a notebook shows them."""
        from costing.report.exchange import notebook_html

        return notebook_html(
            repr(self)[1:-1],
            self._tables["summary"],
            self.list_lines,
            currency=self.shoot.settings.currency,
        )

    @cached_property
    def _bowls(self) -> list[Bowls]:
        return bowls_of(
            self.shoot,
            written=self.written or self.shoot.lines,
            covered=self._covered,
            chosen={
                (key(fill.ingredient.name), key(fill.cut)): fill.value.number
                for fill in self.fills
                if fill.value.column == DENSITY
            },
            zone=ZoneInfo(self.zone),
        )

    @property
    def _copies(self) -> Table:
        begun = copies_of(self.shoot, caps=self.books.caps, zone=ZoneInfo(self.zone))
        labels = [shot.label for shot in self.shoot.shots]
        takes = ((one, at) for one in self.continuing for at in range(one.fewer))
        return copies(begun, {(one.shot, at): labels[one.source] for one, at in takes})

    @property
    def _covered(self) -> Covered:
        """For how many times each shot is provided, by its place in the plan."""
        forest = Forest(self.shoot.shots)
        return forest.times_of(range(len(forest.shots)), self.books.caps)

    @cached_property
    def _cooked(self) -> tuple[Cooked, ...]:
        return cooked(self.books, zone=ZoneInfo(self.zone))

    @cached_property
    def errand_list(self) -> tuple[Errand, ...]:
        """What is to be ordered, fetched, thawed and made, by day."""
        return errands_of(self.books, self._cooked)

    def make_lines(self, *, brief: bool = False) -> list[str]:
        """What is to be made ahead, a line for each dish and day; ``brief``: without what for."""
        return [make_words(one.row, self.shoot, brief=brief) for one in self._cooked]

    @cached_property
    def _labels(self) -> dict[str, list[str]]:
        """Lines of the label of each container."""
        contents, filled = Contents(self.shoot), self._allergens_filled
        return {
            container.name: label_lines(container, contents, self.shoot, filled=filled)
            for container in self.shoot.containers
        }

    def calendar(self, before: bytes | None = None) -> bytes:
        """The limits of the containers as a calendar (RFC 5545), with alarms.

        ``before``: the calendar of the last run; what of it no longer holds is cancelled.
        """
        return self.calendar_file(before).data

    def calendar_file(self, before: bytes | None = None) -> CalendarFile:
        """The same, with the number of its events."""
        from costing.report.calendar import calendar_file

        return calendar_file(
            self.verdicts,
            self.shoot.containers,
            self._labels,
            self.cautions,
            title=self.shoot.settings.title,
            ahead=self.ahead,
            before=before,
        )

    def errand_calendar(self, at: datetime, before: bytes | None = None) -> CalendarFile:
        """The errands as a calendar (RFC 5545), run at an instant; see ``calendar``."""
        from costing.report.calendar import errand_file

        return errand_file(self.errand_list, self.shoot, at=at, before=before)

    @cached_property
    def list_lines(self) -> tuple[ListLine, ...]:
        """What to buy as somebody in a shop reads it."""
        ahead = used_ahead(self._cooked)
        return tuple(list_lines(self.books, self._allergens_filled, ahead))

    @property
    def list_days(self) -> list[ListDay]:
        """The same by day, with what else is to be done on each."""
        return with_only_day(list_days(self.list_lines, self.errand_list), self.shoot)

    @property
    def about_buying(self) -> list[Finding]:
        """What was found that may change what is bought."""
        return [
            one for one in self.findings if not (of_holding(one, self.shoot) or of_closing(one))
        ]

    @property
    def about_closing(self) -> list[Finding]:
        """What was found that may change what is charged, or how actual differs from planned."""
        # by its code: what is told of several rows is one finding more than closing made
        said = {one.code for one in self.closed.findings} if self.closed else set()
        return [
            one
            for one in self.findings
            if one.grade is Grade.ERROR or one.code in said or of_closing(one)
        ]

    @property
    def about_holding(self) -> list[Finding]:
        """What was found that may change how containers are judged; without any, errors of food."""
        whole = bool(self.shoot.containers)
        about = [one for one in self.findings if not of_buying(one)]
        return [one for one in about if whole or one.grade is Grade.ERROR or not of_food(one)]

    def phone_page(self) -> str:
        """What to buy as one HTML page for a phone, with boxes to tick."""
        from costing.report.phone_page import head_of, phone_page

        errors = sum(finding.grade is Grade.ERROR for finding in self.about_buying)
        warnings = self.eating.warnings
        head = head_of(self.shoot.settings, self.totals, errors=errors, warnings=warnings)
        return phone_page(self.list_days, head, self.make_lines())

    def as_json(self) -> dict[str, Any]:
        """The estimate as plain objects for JSON."""
        result: dict[str, Any] = {key: exchange.rows(table) for key, table in self._tables.items()}
        result["title"] = self.shoot.settings.title
        result["cautions"] = list(self.cautions)
        result["closed"] = None if self.closed is None else closed_json(self.closed)
        result["totals"] = exchange.totals(self.books)
        result["times"] = exchange.times(self.books)
        result["cost_of_caution"] = exchange.points(self.books)
        return result


def _exact_frame(layout: Layout) -> property:
    """The frame of a result table as a property of its estimate."""

    def exact(estimate: Estimate) -> pd.DataFrame:
        from costing.report.exchange import frame

        return frame(estimate.tables()[layout.key])

    return property(exact, doc=layout.about)


for _layout in RESULT_LAYOUTS:
    if _layout.key not in Estimate.__dataclass_fields__:  # its findings are there as such
        setattr(Estimate, _layout.key, _exact_frame(_layout))
