"""Drawings: what a design says, on paper.

takes Design; gives Scene (mm on paper, layers) and its SVG; next: packet.
"""

__all__: list[str] = []
