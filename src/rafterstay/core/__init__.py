"""The words every other package uses: errors, quantities, sources, working.

takes nothing; gives errors, units at the edge, sources, the redo-by-hand line;
next: catalog, rope, job.
"""
