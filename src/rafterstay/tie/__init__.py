"""The tie of a roof.

takes a Job and its Frame; gives a Tie: legs, ring and parts with every length as drawn;
next: statics.solve.
"""

from rafterstay.tie.nouns import HubPlate, RingBar, Tie
from rafterstay.tie.rig import rig

__all__ = ["HubPlate", "RingBar", "Tie", "rig"]
