"""How heavy a bag one person should lift.

The revised equation of the US National Institute for Occupational Safety and Health (Applications
manual 94-110): 23 kg times multipliers for reach, height, travel, twist, frequency and grip. It is
made for fit workers and two hands, and says nothing of carrying.
"""

from __future__ import annotations

from advisor.base.record import Record

LOAD_CONSTANT_KG = 23.0
_REACH_CM = (25.0, 63.0)
_HEIGHT_CM = 175.0
_TRAVEL_CM = (25.0, 175.0)
_TWIST_DEG = 135.0
FAIR_GRIP_LOW = 0.95
POOR_GRIP = 0.90


class Lift(Record, frozen=True):
    """reach: from between the ankles to the hands. height: of the hands at the start. travel: up or
    down; all in cm. twist: degrees. often, grip: multipliers from the manual's tables, 1 at best.
    """

    reach: float
    height: float
    travel: float
    twist: float = 0.0
    often: float = 1.0
    grip: float = 1.0


def recommended_limit(lift: Lift) -> float:
    """Recommended weight limit, kg; 0 for a lift out of reach."""
    nearest, farthest = _REACH_CM
    if (
        lift.reach > farthest
        or not 0 <= lift.height <= _HEIGHT_CM
        or lift.travel > _TRAVEL_CM[1]
        or lift.twist > _TWIST_DEG
    ):
        return 0.0
    horizontal = nearest / max(lift.reach, nearest)
    vertical = 1 - 0.003 * abs(lift.height - 75)
    distance = 0.82 + 4.5 / max(lift.travel, _TRAVEL_CM[0])
    twist = 1 - 0.0032 * lift.twist
    return LOAD_CONSTANT_KG * horizontal * vertical * distance * twist * lift.often * lift.grip


def lifting_index(weight_kg: float, lift: Lift) -> float:
    """Weight over the recommended limit; over 1 the lift is a strain for some."""
    limit = recommended_limit(lift)
    return float("inf") if limit == 0 else weight_kg / limit


# A sack without handles, a few times in an hour. The postures are our choice.
FROM_THE_FLOOR = Lift(reach=40, height=20, travel=60, grip=POOR_GRIP)
FROM_A_TAILGATE = Lift(reach=30, height=75, travel=25, grip=POOR_GRIP)
