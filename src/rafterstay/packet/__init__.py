"""Calculation pages, sheets and records in one PDF for the building official.

takes a Design, and where there are any its cut list, survey and logs; gives the bytes of a PDF;
next: the official.
"""

from rafterstay.packet.bind import bind
from rafterstay.packet.nouns import Packet, Shop, Site, Told

__all__ = ["Packet", "Shop", "Site", "Told", "bind"]
