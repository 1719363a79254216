"""The roof as laid out."""
