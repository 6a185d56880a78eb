"""One line of a list: its ingredients with their amounts and parts, or the heading that it is."""
