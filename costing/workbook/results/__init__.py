"""Result sheets: how an estimate looks in a workbook, and how it gets there."""
