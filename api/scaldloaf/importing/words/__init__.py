"""The words of recipes: the lists of each language, what names and headings mean, the tokens of a line."""
