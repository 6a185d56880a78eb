"""Numbers, measures and masses, and the record of what is read of a line."""
