"""The craft: pure functions over floats in g, cm, cm³, °C, hours and percent of flour.

Nothing here knows HTTP, JSON, schemas, a request's field names or other units than its own.
"""
