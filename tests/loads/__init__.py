"""What lies on the roof."""
