"""Recipe text read by a bounded grammar: structured data or lines in, readings with their doubts out.

Nothing here fetches, guesses in silence or backtracks: every step is linear in a line that is capped.
"""
