"""IRC 2021: what the prescriptive code says of rafter ties, collar ties, notches and holes."""
