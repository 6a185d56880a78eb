"""A formula written as a recipe in the languages of ``words``; ``importing`` reads it back.

``amounts`` prints masses, ``recipe`` puts a recipe together, ``forms`` writes it as JSON-LD, Markdown, text
or the rows of a table.
"""
