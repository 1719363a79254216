"""The tie as rigged."""
