"""What lies on the roof.

takes a Job and its Frame; gives Cases: every combination, pattern, direction and climate with
its clause; next: statics.solve.
"""

from rafterstay.loads.gather import gather
from rafterstay.loads.nouns import Case, Cases, Climate

__all__ = ["Case", "Cases", "Climate", "gather"]
