"""The roof as a frame.

takes a Job, and a survey where there is one; gives a Frame: nodes, members, hub, tie-bolt
nodes and the plan area each hip carries; next: tie.rig and loads.gather.
"""

from rafterstay.roof.as_built import stand
from rafterstay.roof.frame import Frame, Member
from rafterstay.roof.lay_out import lay_out
from rafterstay.roof.plate import plate_sides

__all__ = ["Frame", "Member", "lay_out", "plate_sides", "stand"]
