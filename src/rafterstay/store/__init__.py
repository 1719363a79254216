"""Job folders that lose nothing: revisions, logs, export, check, backup, salvage.

takes the text of a job and rows of site work; gives them back as they were, thirty years on;
next: design, the command line and the page.
"""

from rafterstay.store.conflict import Conflict, JobText
from rafterstay.store.folder import JobFolder, create_folder, open_folder
from rafterstay.store.logs import Entry
from rafterstay.store.revisions import Revision

__all__ = [
    "Conflict",
    "Entry",
    "JobFolder",
    "JobText",
    "Revision",
    "create_folder",
    "open_folder",
]
