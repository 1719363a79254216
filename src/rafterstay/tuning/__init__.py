"""Which turnbuckle, which way, how many turns?

takes a tie as drawn and readings of any mix; gives one table of turns for all legs, what each
visit leads to, and what is not known; next: upkeep.
"""

from rafterstay.tuning.advise import advise
from rafterstay.tuning.builds import Builds, draw_builds
from rafterstay.tuning.limits import goal_of
from rafterstay.tuning.model import Model
from rafterstay.tuning.nouns import Advice, Goal, Reading, State, Step, Trade
from rafterstay.tuning.prior import Prior, model_of, prior_of
from rafterstay.tuning.readings import parse, read
from rafterstay.tuning.retune import retune, retune_builds
from rafterstay.tuning.retuned import Retuned

__all__ = [
    "Advice",
    "Builds",
    "Goal",
    "Model",
    "Prior",
    "Reading",
    "Retuned",
    "State",
    "Step",
    "Trade",
    "advise",
    "draw_builds",
    "goal_of",
    "model_of",
    "parse",
    "prior_of",
    "read",
    "retune",
    "retune_builds",
]
