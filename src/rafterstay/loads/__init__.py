"""What lies on the roof.

takes a Job and its Frame; gives Cases: every combination, pattern and direction with its
clause; next: statics.solve.
"""

from rafterstay.loads.gather import gather
from rafterstay.loads.nouns import Case, Cases

__all__ = ["Case", "Cases", "gather"]
