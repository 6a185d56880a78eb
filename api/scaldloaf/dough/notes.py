"""Notes that a result brings along."""

Note = tuple[str, str]  # a code for programs, e.g. "hot_water", and a sentence for the baker
