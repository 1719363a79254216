"""The command line: a job folder in, words or one JSON document out.

takes what was typed; gives text, JSON, files and an exit code; next: nothing.
"""

from rafterstay.cli.program import main

__all__ = ["main"]
