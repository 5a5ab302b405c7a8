"""A shoot: its episodes, its shots, and everything the kitchen brings to it."""

from costing.shoot.episodes import Episode, Person, Trip
from costing.shoot.purposes import Purpose
from costing.shoot.read_from import InputSheet, LeftOut
from costing.shoot.settings import Settings
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot
