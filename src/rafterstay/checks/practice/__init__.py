"""Common practice for what no standard rules: fit, clearance, thread."""
