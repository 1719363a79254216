"""How hard everything pulls and where it comes to rest.

takes a Frame, its Tie and Cases; gives Forces: every pull first and second order, movements,
a proved bound on the error of first order pulls; next: checks.verify.
"""

from rafterstay.statics.lost import Loss, Losses, lose_each, lose_leg, lose_side
from rafterstay.statics.nouns import Forces, Setting, State
from rafterstay.statics.solve import solve

__all__ = [
    "Forces",
    "Loss",
    "Losses",
    "Setting",
    "State",
    "lose_each",
    "lose_leg",
    "lose_side",
    "solve",
]
