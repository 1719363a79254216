"""The page at the kitchen table: job folders served to a browser on the same machine.

takes a folder of jobs; gives pages with the drawing as the way in, and saved revisions; next:
nothing.
"""

__all__: list[str] = []
