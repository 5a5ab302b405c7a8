"""A recipe as plain text: which line is the name, a heading, an ingredient or the method."""

from __future__ import annotations

import re
from dataclasses import replace

from costing.findings import Place
from costing.quantities import Measures
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.copied import is_footnote, lines_of
from costing.recipe_text.counts import count_at
from costing.recipe_text.headings import heading_of, heads, parts_named, stands_out
from costing.recipe_text.lines import BULLET, read_line, tidied
from costing.recipe_text.outline import (
    LONGEST_CELL,
    MOST_LINES,
    Group,
    Outline,
    SourceLine,
    about_it,
    check_size,
    is_about_the_dish,
    is_yield_line,
    name_and_yield,
    named_after,
    step_name,
    without_label,
)
from costing.recipe_text.sections import (
    FOR,
    INLINE,
    INLINE_SECTION,
    LONGEST_PLAIN,
    LONGEST_TITLE,
    MARK,
    NUMBERED,
    TO_SERVE,
    WORDS_OF_PROSE,
    Section,
    heading_and_yield,
    is_ingredient,
    is_prose,
    lines_apart,
    names_alone,
    plain_line,
    reads_as_ingredient,
    section_of,
    without_number,
)
from costing.recipe_text.tables import tables_read
from costing.recipe_text.unit_words import is_measure_word
from costing.recipe_text.words import TELLS
from costing.reference import find_food

_BARE_NUMBER = re.compile(r"(?P<step>[0-9]{1,2})\s+(?=[A-Z])")
_SIGNED = re.compile(r"[(\[]?(?P<step>[0-9]{1,2})\s*(?:[-–—]\s+|[.):\]]\s*)(?=[^\W\d_])")
_REMARK = re.compile(r"\([^()]*\)\.?")
"""Above the ingredients: (from an old notebook)."""

_OF_STEP = re.compile(r"(?:for )?step (?P<step>[0-9]{1,3})\s*:?", re.IGNORECASE)
"""Above the ingredients that a step of the method takes."""

_RUN_IN = re.compile(r"(?P<name>[^\W\d_][^.;:]{1,58})\.\s*(?:--+|—)\s*(?=\S)")
"""The name of a dish that a book runs in: Corn Pudding.--Take six ears of corn."""

_OPTIONAL = re.compile(r"optional(?: extras?)?\s*:?", re.IGNORECASE)


def outline_of_text(text: str, *, file_name: str, measures: Measures) -> Outline:
    """Find the parts of a recipe in its lines.

    Raises
    ------
    RecipeUnreadable
        If it has too many lines, or one that no cell can hold.
    """
    rows = text.splitlines()
    check_size(len(rows), MOST_LINES, "lines", file_name)
    check_size(max(map(len, rows), default=0), LONGEST_CELL, "characters in a line", file_name)
    said, around = lines_of(rows)
    said = lines_apart(list(tables_read(said, measures)), measures)
    out = _Lines(said, file_name, measures).outline()
    for source in around:
        out.note(messages.line_left_out, source, source.text)
    return out


class _Lines:
    """The lines of a recipe, read from the first to the last."""

    def __init__(self, sources: list[SourceLine], file_name: str, measures: Measures) -> None:
        self.sources = sources
        self.measures = measures
        self.section = Section.START
        self.optional = False
        self.numbered, self.step = False, 0
        self.apart = False  # from the line above, by a blank one
        self.named: frozenset[int] = frozenset()  # the lines that call parts of the dish
        # where more than half is in capitals, as no titles alone are, they say nothing
        self.shouted = 2 * sum(source.text.isupper() for source in sources) > len(sources)
        self.has_list = Section.INGREDIENTS in [section_of(source.text) for source in sources]
        self.out = Outline("", file_name, groups=[Group()])

    def outline(self) -> Outline:
        """Give the recipe in outline."""
        while self.sources and is_about_the_dish(plain_line(tidied(self.sources[0].text))):
            self._line(0)
            self.sources = self.sources[1:]
        self.named = parts_named(self.sources)
        start = self._title()
        self.out.take_yield_of_name(self.sources[:start])
        for at in range(start, len(self.sources)):
            self._line(at)
        self._put_to_named_steps()
        if not self.out.title:
            self.out.title = named_after(self.out.file_name)
            place = Place(self.out.file_name)
            self.out.findings.append(messages.title_missing(place, self.out.title))
        return self.out

    def _put_to_named_steps(self) -> None:
        """Put the ingredients below "Step 2:" to the second step of the method."""
        named = [_OF_STEP.fullmatch(group.name) for group in self.out.groups]
        steps = [int(one["step"]) for one in named if one]
        if not steps or None in named or not all(1 <= at <= len(self.out.method) for at in steps):
            return
        lines: list[list[SourceLine]] = [[] for _ in self.out.method]
        for at, group in zip(steps, self.out.groups, strict=True):
            lines[at - 1] += group.lines
        self.out.put_to_steps(lines)

    def _title(self) -> int:
        """Take the first line for the dish's name if it is one; give how many lines that took."""
        run_in = _RUN_IN.match(self.sources[0].text) if self.sources else None
        if run_in and section_of(run_in["name"]) is None:
            self.out.title = run_in["name"]
            self.sources[0] = replace(self.sources[0], text=self.sources[0].text[run_in.end() :])
            return 0
        if not self.sources or len(self.sources[0].text) > LONGEST_TITLE:
            return 0
        first = self.sources[0]
        text = without_number(tidied(first.text), self.sources[:2])
        labelled = without_label(plain_line(text))
        if labelled != plain_line(text):
            self.out.title = labelled
            return 1
        mark = MARK.match(text)
        if mark and section_of(text) is None:
            self.out.title = plain_line(mark["text"])
            return 1
        if len(self.sources) < 2:
            return 0
        plain, second = plain_line(text), self.sources[1]
        named = plain[:1].isalpha() and second.number > first.number + 1 and not plain.endswith(":")
        in_words = named and count_at(plain) is not None  # Two-cheese tart is no two of anything
        # what begins with a number word and measures nothing may be a name all the same
        in_words = in_words and read_line(plain, self.measures).unit in ("", "each")
        if name_and_yield(plain)[1]:
            self.out.title = plain
            return 1
        if self._is_special(text if NUMBERED.match(first.text) else first.text) and not in_words:
            return 0
        apart = second.number > first.number + 1
        # without a blank line below, the first line is a title only above what is none, or above
        # names with their amounts behind them, where it has none
        if not apart and not self._is_special(second.text) and not self._above_amounts():
            return 0
        self.out.title = plain
        if not apart and count_at(tidied(second.text)) and not is_yield_line(tidied(second.text)):
            self.out.note(messages.title_taken, first, plain)
        return 1

    def _above_amounts(self) -> bool:
        """Whether the first line has no amount, and the two below it have theirs at the end."""
        first, *below = (read_line(one.text, self.measures) for one in self.sources[:3])
        named = find_food(first.name).food is None and not first.amount
        return named and len(below) == 2 and all(one.amount for one in below)

    def _is_special(self, text: str) -> bool:
        """Whether a line is surely no name of a dish."""
        plain = tidied(text)
        return len(plain) <= LONGEST_PLAIN and (
            BULLET.match(text) is not None
            or count_at(plain) is not None
            or plain.endswith(":")
            or MARK.match(plain) is not None
            or section_of(plain) is not None
            or FOR.fullmatch(plain) is not None
            or is_about_the_dish(plain)
            or _REMARK.fullmatch(plain) is not None
        )

    def _line(self, at: int) -> None:
        """Decide what a line is: heading, section, yield, remark, ingredient or step."""
        source = self.sources[at]
        self.apart = at > 0 and self.sources[at - 1].number < source.number - 1
        text = tidied(source.text)
        if len(text) > LONGEST_PLAIN:
            self._prose(source, text)
            return
        mark = MARK.match(text)
        plain = plain_line(mark["text"] if mark else text)
        bare = heading_of(plain)
        if section := section_of(text):
            self.section, self.optional = section, False
            if made := heading_and_yield(plain)[1]:
                self.out.take_yield(source, made)
        elif _OPTIONAL.fullmatch(plain):
            self.optional = True
        # the order decides what a line may still be: a section heading before "Notes: keep cold",
        # both before a yield, and a heading of ingredients only where none of them fits
        elif (inline := INLINE_SECTION.fullmatch(plain)) and not about_it(plain)[0]:
            self._inline_section(source, inline)
        elif is_yield_line(plain) and (
            self.section is not Section.METHOD
            or plain.casefold().startswith(("sufficient", "enough", "makes:", "serves:", "yield:"))
        ):
            self.out.take_yield(source, plain)
        elif (about := about_it(plain, in_method=self.section is Section.METHOD))[0]:
            self.out.take_yield(source, about[1])
        elif self.section is Section.START and _REMARK.fullmatch(plain):
            self.out.note(messages.line_left_out, source, source.text)
        elif mark or self._is_heading(at, plain) or self._stands_out(at, text, plain):
            self._heading(at, source, bare)
        else:
            self._content(source, plain)

    def _is_heading(self, at: int, plain: str) -> bool:
        if _OF_STEP.fullmatch(plain) and (
            self.section is Section.INGREDIENTS
            or (self.section is Section.START and reads_as_ingredient(self._below(at)))
            or (self.section is Section.METHOD and is_ingredient(self._below(at), self.measures))
        ):
            return True
        return heads(plain, below=self._below(at), measures=self.measures)

    def _stands_out(self, at: int, text: str, plain: str) -> bool:
        below = self._below(at)
        named = self.section is not Section.METHOD and at in self.named
        out = stands_out(text, plain, below=below, apart=self.apart, shouted=self.shouted)
        return named or out

    def _below(self, at: int) -> str:
        """The line below one, as it is read."""
        follows = self.sources[at + 1].text if at + 1 < len(self.sources) else ""
        return plain_line(tidied(follows))

    def _heading(self, at: int, source: SourceLine, bare: str) -> None:
        """A heading of ingredients, or one inside the method."""
        self.optional = False
        below = self._below(at)
        lists = reads_as_ingredient(below) or (
            TO_SERVE.fullmatch(bare) is not None and names_alone(below)
        )
        if self.section is Section.METHOD and not lists:
            self.out.method.append((step_name(bare), source))
            self.numbered = False
            return
        if self.section is Section.OTHER and not lists:
            self.out.note(messages.line_left_out, source, source.text)
            return
        self.section = Section.INGREDIENTS
        self.out.open_group(bare, source)

    def _inline_section(self, source: SourceLine, inline: re.Match[str]) -> None:
        if section_of(inline["word"]) is Section.METHOD:
            self.section, self.numbered = Section.METHOD, False
            self.out.method.append((step_name(inline["rest"]), source))
        else:
            self.out.note(messages.line_left_out, source, source.text)

    def _content(self, source: SourceLine, plain: str) -> None:
        """An ingredient, a step of the method or a remark."""
        number = NUMBERED.match(plain) or self._next_number(plain)
        said = plain[number.end() :] if number else plain
        if number:
            self.step = int("".join(filter(str.isdecimal, number[0])) or self.step + 1)
        listed = (one.text for group in self.out.groups for one in group.lines)
        before_list = (
            self.section is Section.START
            and self.has_list
            and not is_ingredient(said, self.measures)
        )
        if self.section is Section.OTHER or is_footnote(source.text, listed):
            self.out.note(messages.line_left_out, source, source.text)
        elif self.section is Section.METHOD and not number and self._belongs_to_step(source, said):
            self._under_step(source, said)
        elif self._lists_again(said) and not number:
            self._ingredient(source, said)
        elif self.section is Section.METHOD or (number and not reads_as_ingredient(said)):
            self._method(source, said, numbered=number is not None)
        elif is_prose(said) or self._tells_what_to_do(said) or before_list:
            self._prose(source, said)
        else:
            self._ingredient(source, said)

    def _lists_again(self, said: str) -> bool:
        """Whether more ingredients begin below a step that nothing headed, apart from it."""
        again = self.section is Section.METHOD and self.apart and not self.numbered
        return again and not self.out.takes_in_steps and is_ingredient(said, self.measures)

    def _next_number(self, plain: str) -> re.Match[str] | None:
        """The number of a step, however it is set off, where it is the step that follows."""
        number = (signed := _SIGNED.match(plain)) or _BARE_NUMBER.match(plain)
        before = len(self.out.method) if not signed else self.step if self.numbered else 0
        if number is None or int(number["step"]) != before + 1:
            return None
        if self.section is Section.METHOD or self._begins_method(plain):
            return number
        return signed if signed and self._tells_what_to_do(plain[signed.end() :]) else None

    def _begins_method(self, plain: str) -> bool:
        """Whether a line below the ingredients is a sentence, as none of them is."""
        lines = [source.text for group in self.out.groups for source in group.lines]
        stops = [one.split()[-1] for one in lines if one.endswith(".")]
        return plain.endswith(".") and bool(lines) and all(map(is_measure_word, stops))

    def _tells_what_to_do(self, said: str) -> bool:
        """Whether a line apart from the ingredients above it is a step without a full stop."""
        first, *more = said.casefold().split()
        told = len(more) > 1 and first in TELLS and not read_line(said, self.measures).amount
        return told and self.apart and any(group.lines for group in self.out.groups)

    def _ingredient(self, source: SourceLine, said: str) -> None:
        inline = INLINE.fullmatch(said)
        if inline and self._heads(inline):
            self.out.open_group(inline["heading"].strip(), source)
            said = inline["line"]
        self.section = Section.INGREDIENTS
        line = SourceLine(source.number, source.text, said, self.optional)
        self.out.groups[-1].lines.append(line)

    def _heads(self, inline: re.Match[str]) -> bool:
        """Whether the words before a colon are a heading and not the ingredient's name."""
        if _OPTIONAL.fullmatch(inline["heading"].strip()):
            return False
        if FOR.fullmatch(inline["heading"].strip()):
            return True
        whole, line = (read_line(one, self.measures) for one in (inline[0], inline["line"]))
        return bool(line.amount) and (not whole.amount or whole.name == line.name)

    def _belongs_to_step(self, source: SourceLine, said: str) -> bool:
        """Whether an ingredient is listed below the step that takes it, none having come before."""
        if not (self.numbered and (self.out.takes_in_steps or self.out.method)):
            return False
        if not self.out.takes_in_steps and any(group.lines for group in self.out.groups):
            return False
        # a bullet without a full stop, and short: what is listed and not what is done
        listed = BULLET.match(source.text) is not None and not said.endswith((".", "!"))
        return reads_as_ingredient(said) or (
            listed and len(said.split()) < WORDS_OF_PROSE and self.out.takes_in_steps
        )

    def _under_step(self, source: SourceLine, said: str) -> None:
        """Read an ingredient below its step; from the first on, every step is a group."""
        if not self.out.takes_in_steps:
            self.out.takes_in_steps = True
            for group in self.out.groups:  # headings with nothing below them
                if group.heading is not None:
                    self.out.note(messages.line_left_out, group.heading, group.heading.text)
            self.out.groups = [Group(name, heading=step) for name, step in self.out.method]
            self.out.method.clear()
        self.out.groups[-1].lines.append(SourceLine(source.number, source.text, said))

    def _method(self, source: SourceLine, said: str, *, numbered: bool) -> None:
        """A step of the method, or more words of the step before it."""
        method = self.out.method
        if self.out.takes_in_steps:
            self._step_of_groups(source, said, numbered=numbered)
            return
        # in a numbered method a line without a number belongs to the step above it
        if not numbered and self.numbered and method:
            name, first = method[-1]
            whole = SourceLine(first.number, f"{first.text} {source.text}")
            method[-1] = (name or step_name(source.text), whole)
            return
        self.section, self.numbered = Section.METHOD, numbered
        method.append((step_name(said), source))

    def _step_of_groups(self, source: SourceLine, said: str, *, numbered: bool) -> None:
        """A step that may have its ingredients below it, or more words of the step before."""
        last = self.out.groups[-1]
        if numbered or last.heading is None:
            self.out.groups.append(Group(step_name(said), heading=source))
            self.section, self.numbered = Section.METHOD, True
        else:
            last.heading = SourceLine(last.heading.number, f"{last.heading.text} {source.text}")

    def _prose(self, source: SourceLine, said: str) -> None:
        if any(group.lines for group in self.out.groups):
            self._method(source, said, numbered=False)
        else:
            self.out.prose.append(source)
