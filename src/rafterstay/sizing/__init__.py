"""What to buy: the smallest parts that pass, how hard to set them, and which way to tie.

takes a Job and what each trial of it was carried to; gives Sizes, a Band, HeightRows and
Schemes; next: shop.cut. Trials are carried by whoever asks: the loops stand in
``rafterstay.design``.
"""

from __future__ import annotations

from rafterstay.sizing.advice import at_best, remedy, washers
from rafterstay.sizing.band import BandSearch, aimed_at
from rafterstay.sizing.heights import HeightRow, at_height, heights_of, raised
from rafterstay.sizing.ladder import parts_of
from rafterstay.sizing.nouns import Band, Down, Sizes, Unmet
from rafterstay.sizing.schemes import LAYOUTS, Scheme, laid_out, scheme
from rafterstay.sizing.search import Search
from rafterstay.sizing.stock import part_of
from rafterstay.sizing.watched import deciding

__all__ = [
    "LAYOUTS",
    "Band",
    "BandSearch",
    "Down",
    "HeightRow",
    "Scheme",
    "Search",
    "Sizes",
    "Unmet",
    "aimed_at",
    "at_best",
    "at_height",
    "deciding",
    "heights_of",
    "laid_out",
    "part_of",
    "parts_of",
    "raised",
    "remedy",
    "scheme",
    "washers",
]
