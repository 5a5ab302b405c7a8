"""A shoot: its episodes, its shots, and everything the kitchen brings to it."""

from costing.shoot.episodes import Episode
from costing.shoot.settings import Settings
from costing.shoot.shoot import InputSheet, LeftOut, Shoot
from costing.shoot.shots import Purpose, Shot

__all__ = ["Episode", "InputSheet", "LeftOut", "Purpose", "Settings", "Shoot", "Shot"]
