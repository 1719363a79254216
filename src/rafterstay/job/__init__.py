"""What the user states, read strictly and told back with every default taken.

takes a job folder, a file or its text; gives ``Job`` in SI or every finding at once; next:
roof, tie, loads. The validator is loaded when a job is read, not on import.
"""

from __future__ import annotations

from rafterstay.job.keys import Height
from rafterstay.job.nouns import Assumed, Job
from rafterstay.job.read import load, loads
from rafterstay.job.write import drop_value, set_value

__all__ = ["Assumed", "Height", "Job", "drop_value", "load", "loads", "set_value"]
