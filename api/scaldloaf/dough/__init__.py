"""The craft: pure functions over floats in g, cm, cm3, degC, hours and percent of flour.

Nothing here knows of HTTP, JSON, schemas or unit names other than its own.
"""
