"""Lifting practice: breaking strength over a design factor. Advice, never the building's rule."""
