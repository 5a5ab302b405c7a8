"""An estimate as pandas frames, exact ones and those for plots, and as a notebook shows it."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING

from costing.report.notebook import notebook_html
from costing.report.tables import Table

if TYPE_CHECKING:
    import pandas as pd


class ResultFrames(ABC):
    """What an estimate gives as frames; pandas is imported when the first is asked for."""

    @property
    @abstractmethod
    def _currency(self) -> str | None:
        """Code of the currency of all money."""

    @property
    @abstractmethod
    def _tables(self) -> dict[str, Table]:
        """The result tables by key."""

    def _repr_html_(self) -> str:
        """The main figures and the list, as a notebook shows them."""
        tables = self._tables
        return notebook_html(
            repr(self)[1:-1], tables["summary"], tables["to_buy"], currency=self._currency
        )

    def _frame(self, key: str) -> pd.DataFrame:
        from costing.report.frames import frame

        return frame(self._tables[key])

    def frame(self, name: str) -> pd.DataFrame:
        """A result table for plots and statistics, beside the exact frame of the same name.

        Parameters
        ----------
        name : str
            Of the table, such as ``"food_cost"``.

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
        from costing.report.frames import plotting_frame

        if name not in self._tables:
            raise KeyError(f"there is no table {name!r}; there are {', '.join(self._tables)}")
        return plotting_frame(self._tables[name], currency=self._currency)

    @property
    def summary(self) -> pd.DataFrame:
        """The main figures."""
        return self._frame("summary")

    @property
    def to_buy(self) -> pd.DataFrame:
        """One row for each pack to buy."""
        return self._frame("to_buy")

    @property
    def needs(self) -> pd.DataFrame:
        """One row for each ingredient."""
        return self._frame("needs")

    @property
    def food_cost(self) -> pd.DataFrame:
        """One row for each episode, dish and purpose."""
        return self._frame("food_cost")

    @property
    def holding_times(self) -> pd.DataFrame:
        """One row for each container and rule."""
        return self._frame("holding_times")

    @property
    def prep(self) -> pd.DataFrame:
        """One row for each container to prepare."""
        return self._frame("prep")

    @property
    def swaps(self) -> pd.DataFrame:
        """One row for each stage to prepare."""
        return self._frame("swaps")

    @property
    def assumptions(self) -> pd.DataFrame:
        """One row for each value that nobody typed."""
        return self._frame("assumptions")

    @property
    def labels(self) -> pd.DataFrame:
        """One row for each container, to be printed and cut out."""
        return self._frame("labels")
