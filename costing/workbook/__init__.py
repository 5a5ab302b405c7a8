"""The spreadsheet: what a workbook looks like, how it is read, made and written to."""
