"""AISC 360-16: the steel of a bolt."""
