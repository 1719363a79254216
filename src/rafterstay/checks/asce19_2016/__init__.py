"""ASCE/SEI 19-16: steel cables for buildings."""
