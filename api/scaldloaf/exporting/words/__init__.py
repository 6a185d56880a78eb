"""The words of written recipes, a file a language."""
