"""Scaldloaf: calculations for enriched pan bread with scalded flour."""

__version__ = "1.1.0"
