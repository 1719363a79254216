"""Which turnbuckle, which way, how many turns?

takes a tie as drawn and readings of any mix; gives one table of turns for all legs, what each
visit leads to, and what is not known; next: upkeep.
"""

from rafterstay.tuning.advise import advise
from rafterstay.tuning.limits import goal_of
from rafterstay.tuning.model import Model
from rafterstay.tuning.nouns import Advice, Goal, Reading, State, Step, Trade
from rafterstay.tuning.prior import Prior, model_of, prior_of
from rafterstay.tuning.readings import parse, read

__all__ = [
    "Advice",
    "Goal",
    "Model",
    "Prior",
    "Reading",
    "State",
    "Step",
    "Trade",
    "advise",
    "goal_of",
    "model_of",
    "parse",
    "prior_of",
    "read",
]
