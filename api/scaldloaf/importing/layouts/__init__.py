"""How recipes are laid out, made plain lines: structured data, tables, lists and headings inside a line."""
