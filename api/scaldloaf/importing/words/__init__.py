"""The words of recipes, a file a language; README.md says how to add one."""
