"""Rope ties that keep rafters from spreading: sized, proved and redone by hand."""

__all__ = ["__version__"]

__version__ = "0.1.0"
