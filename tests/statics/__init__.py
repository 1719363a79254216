"""Statics against closed forms, handbooks and its own promises."""
