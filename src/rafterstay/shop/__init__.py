"""From the tie to finished legs: cut, buy, press, prove.

takes a Job, its Tie, Forces and, where the frame was surveyed, its Legs; gives a cut list and
what it takes to buy, press and prove it; next: raising, tuning, sheets.
"""

from rafterstay.shop.cut import cut
from rafterstay.shop.nouns import Cutting, Legs

__all__ = ["Cutting", "Legs", "cut"]
