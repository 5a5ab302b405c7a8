"""What is said of a workbook while it is read: one function for each finding."""
