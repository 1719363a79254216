"""ASCE/SEI 7-16: snow (chapter 7), roof live load (4.8) and wind on gables (chapters 26, 27)."""
