"""How fast the parts are, as ratios measured side by side in one run: ``make bench``."""
