"""The words a clock's standing is given in: statuses, and what is behind them."""

from __future__ import annotations

from enum import Enum, StrEnum, auto


class Status(StrEnum):
    """The one status of a container under a rule."""

    WITHIN = "within the limit"
    DO_NOT_RETURN = "do not return"
    DISCARD = "discard"
    CANNOT_BE_USED = "rule cannot be used"
    NOT_COVERED = "not covered"
    DISCARDED = "discarded"
    NEVER_EAT = "never eat"


SEVERITY = (
    Status.NOT_COVERED,
    Status.WITHIN,
    Status.DO_NOT_RETURN,
    Status.CANNOT_BE_USED,
    Status.DISCARD,
)
"""Statuses a clock can give, the mildest first."""


class Cause(Enum):
    """What ends the time of a container."""

    LIMIT = auto()
    MARK = auto()
    CEILING = auto()
    SECOND_PERIOD = auto()
    STAGE = auto()
    LAST_DAY = auto()


class Bar(Enum):
    """Why a rule cannot be used, or does not cover the food."""

    NO_TIMES = auto()
    NO_PROCEDURES = auto()
    NOT_REMOVED = auto()
    UNCERTAIN_START = auto()
    NO_START_TEMPERATURE = auto()
    START_TEMPERATURE = auto()
    NOT_MARKED = auto()
    MARKED_TOO_LATE = auto()
    STATES_NO_TIME = auto()
    OTHER_FOOD = auto()
    CLASS_NONE = auto()
    NOT_STARTED = auto()
    NO_PASS = auto()


class Room(Enum):
    """What is known of the room where that changes the limit."""

    NO_MATTER = auto()
    NOT_HOT = auto()
    HOT = auto()
    UNKNOWN = auto()
