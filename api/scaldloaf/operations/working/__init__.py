"""The workings and notes of the calls, where they are long."""
