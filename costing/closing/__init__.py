"""After the shoot: what was taken, paid, used and left, against what was planned."""
