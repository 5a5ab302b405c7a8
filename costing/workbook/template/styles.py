"""How a new workbook looks: our own quiet palette, never a meaning in a colour alone."""

from __future__ import annotations

from typing import Any

INK = "#2E2A3B"
SOFT_INK = "#6B667A"
HEADING = "#E4E1EC"
NEEDED_HEADING = "#CBC4DC"
LINE = "#D9D6E1"
PAPER = "#FFFFFF"
GIVEN = "#F6F5F9"
FAULTY = "#564A66"
DOUBTFUL = "#CFC6DB"
FONT = "Calibri"

TEXT = "@"
DATE = "yyyy-mm-dd"
TIME = "hh:mm"
DATE_TIME = "yyyy-mm-dd hh:mm"
MONEY = "0.00"
PART = "# ??/??"
"""Shows 0.5 as 1/2, and lets 1/2 be typed without a date coming of it."""


class Styles:
    """The formats of a workbook, each made once.

    Parameters
    ----------
    book : xlsxwriter.Workbook
        The workbook that is made.
    """

    def __init__(self, book: Any) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, Any], ...], Any] = {}

    def of(self, **given: Any) -> Any:
        """A format, with our font and ink unless others are given."""
        properties = {"font_name": FONT, "font_size": 10.5, "font_color": INK, **given}
        key = tuple(sorted(properties.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(properties)
        return self._made[key]

    def title(self) -> Any:
        """Of the sheet's title."""
        return self.of(font_size=16, bold=True, valign="vcenter")

    def purpose(self) -> Any:
        """Of the sentence below the title."""
        return self.of(font_color=SOFT_INK, italic=True, valign="vcenter")

    def heading(self, *, needed: bool) -> Any:
        """Of a heading; one that is needed is darker and underlined."""
        return self.of(
            bold=True,
            bg_color=NEEDED_HEADING if needed else HEADING,
            underline=1 if needed else 0,
            text_wrap=True,
            valign="vcenter",
            align="left",
            indent=1,
            bottom=1,
            bottom_color=SOFT_INK,
        )

    def cell(self, number_format: str = "", *, wrap: bool = False) -> Any:
        """Of a cell to be filled in; all stand to the left, a little off the line."""
        given: dict[str, Any] = {
            "bottom": 1,
            "bottom_color": LINE,
            "valign": "vcenter",
            "align": "left",
            "indent": 1,
        }
        if number_format:
            given["num_format"] = number_format
        if wrap:
            given["text_wrap"] = True
        return self.of(**given)

    def fault(self, *, error: bool) -> Any:
        """Laid over a cell that something was found in: dark for errors, pale for warnings."""
        return self._book.add_format(
            {
                "bg_color": FAULTY if error else DOUBTFUL,
                "font_color": PAPER if error else INK,
                "bold": True,
                "border": 1,
                "border_color": FAULTY,
            }
        )

    def given(self) -> Any:
        """Of a cell that is given and only to be read."""
        return self.of(
            font_color=SOFT_INK,
            bg_color=GIVEN,
            bottom=1,
            bottom_color=LINE,
            text_wrap=True,
            valign="vcenter",
            align="left",
            indent=1,
        )
