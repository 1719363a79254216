"""Published figures: one module a source, one row a figure."""
