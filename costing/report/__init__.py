"""An estimate's results as tables, frames and JSON."""
