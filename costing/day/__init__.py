"""The day itself: a line of the log, what follows from it, and the page for a phone, served."""
