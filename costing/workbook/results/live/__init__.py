"""Formulas of the result sheets: what follows an edited input, and what says that it does not."""
